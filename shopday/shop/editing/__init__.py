"""Changing the owner's files and keeping their comments."""
