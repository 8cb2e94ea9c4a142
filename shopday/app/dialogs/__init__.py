"""What opens over a screen: questions, forms, help."""
