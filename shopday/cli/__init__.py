"""The commands. Nothing here imports Textual, and each command imports what it needs when it runs."""
