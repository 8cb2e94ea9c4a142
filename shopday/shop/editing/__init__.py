"""Changes the owner's files and keeps their comments."""
