"""Rows of lists, and sentences beside them."""
