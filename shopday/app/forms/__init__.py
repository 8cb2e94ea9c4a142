"""Fields of forms, and reading what is typed in them."""
