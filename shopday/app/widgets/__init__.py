"""The widgets of screens and dialogs."""
