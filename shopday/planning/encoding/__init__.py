"""Encode the folder, the journal and the current minute as a problem for the scheduler."""
