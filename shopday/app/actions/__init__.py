"""What can be done to steps, jobs and plans from the app."""
