"""Which facts may be logged, who did the work, and what a fact is called."""
