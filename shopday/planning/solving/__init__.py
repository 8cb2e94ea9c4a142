"""Ask the scheduler, keep the plan, and read its answer."""
