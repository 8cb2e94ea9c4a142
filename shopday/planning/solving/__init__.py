"""Asking the scheduler, keeping the plan, and reading its answer."""
