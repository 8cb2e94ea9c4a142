"""From the folder, the journal and this minute to the scheduler's problem."""
