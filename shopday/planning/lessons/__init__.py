"""What the journal teaches."""
