"""Widgets that screens and dialogs are made of."""
