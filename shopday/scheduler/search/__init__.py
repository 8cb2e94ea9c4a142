"""Looking for better schedules."""
