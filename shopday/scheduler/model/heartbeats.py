"""Work in steps: a generator that yields None between steps, where it can be cancelled, and returns its result."""

from __future__ import annotations

from collections.abc import Generator
from typing import TypeAlias, TypeVar

T = TypeVar("T")

Steps: TypeAlias = Generator[None, None, T]
"""Work whose result is a T."""


def finished(work: Steps[T]) -> T:
    """Run the work to its end and return its result."""
    while True:
        try:
            next(work)
        except StopIteration as end:
            found: T = end.value
            return found
