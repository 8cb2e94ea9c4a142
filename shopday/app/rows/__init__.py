"""Rows of lists, and the sentences shown with them."""
