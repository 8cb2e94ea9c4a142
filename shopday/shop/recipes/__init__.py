"""Recipes: their model, making parts from them, and combining parts into a job."""
