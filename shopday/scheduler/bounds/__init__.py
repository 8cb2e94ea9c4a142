"""Lower bounds: what no schedule can beat."""
