"""From TOML files to models, with every fault reported by file and line."""
