"""A worker for tests: it answers each item of a question, None being a heartbeat."""

from __future__ import annotations

from collections.abc import Generator, Iterable
from itertools import repeat
from pathlib import Path

from shopday.worker_process import serve

HEARTBEATS = repeat(None)
"""A question nobody ever finishes."""

BULK = bytes(10_000_000)
"""More than a socket holds."""


def answers(question: tuple[Iterable[object], str]) -> Generator[object, None, None]:
    """`question`: the items, and a file to leave in the end ("" for none)."""
    items, left = question
    try:
        yield from items
    finally:
        if left:
            Path(left).touch()


if __name__ == "__main__":
    serve(answers, niceness=1)
