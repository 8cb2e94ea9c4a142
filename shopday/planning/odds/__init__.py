"""Which dates hold: the plan simulated many times."""
