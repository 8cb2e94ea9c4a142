"""Search for better schedules."""
