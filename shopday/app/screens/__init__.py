"""The screens that a number key or a command opens."""
