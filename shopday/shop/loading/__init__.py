"""From TOML files to models, with every fault told by file and line."""
