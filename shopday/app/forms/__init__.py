"""Forms, and readers for what is typed in them."""
