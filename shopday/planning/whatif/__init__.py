"""What would help: changes a maker could make, each planned."""
