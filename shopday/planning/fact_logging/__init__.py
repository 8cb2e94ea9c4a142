"""What may be logged, who did it, and how a fact is named."""
