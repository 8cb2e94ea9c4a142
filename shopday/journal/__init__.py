"""What has happened in the shop: facts, each written once and never changed."""
