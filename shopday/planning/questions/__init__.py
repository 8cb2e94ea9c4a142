"""Questions about a plan, one module each."""
