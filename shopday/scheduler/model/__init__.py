"""What the scheduler is asked and what it answers: problem, calendars, clocks, result."""
