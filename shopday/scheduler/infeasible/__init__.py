"""Why hard windows cannot be met."""
