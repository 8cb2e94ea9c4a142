"""What would help: changes that a maker could make, each planned."""
