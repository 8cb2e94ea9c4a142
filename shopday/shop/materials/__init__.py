"""The material book, cautions and formulas of the trade."""
