"""The exact engine as the rest of the program knows it: whether it is installed, and what is said to its process.

Nothing here loads it: that would take a second and 120 MB.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib import metadata

from shopday.scheduler.model.problem import Problem

EXACT_PROCESS = "shopday.scheduler.exact.exact_process"
"""The program of the process in which it works."""

VERSIONS = ((9, 12), (9, 13))
"""From the first up to the second, left out: what the tests were run with."""


@dataclass(frozen=True)
class ExactRequest:
    """What to improve, with what effort, from what order; `own`: the effort of a search of our own that is its first
    turn (0: none). For every further turn the best result known is sent after it."""

    problem: Problem
    effort: float
    order: Sequence[int] | None
    own: float


@dataclass(frozen=True)
class ExactEnded:
    """The last answer: there will be no further turn. `trouble`: why it cannot do this problem, in a few words."""

    trouble: str = ""


@cache
def exact_engine_trouble() -> str:
    """Why the exact engine cannot be used, in a few words; "" where it can."""
    try:
        version = metadata.version("ortools")
    except metadata.PackageNotFoundError:
        return "OR-Tools is not installed"
    numbers = tuple(int(part) for part in version.split(".")[:2] if part.isdigit())
    least, most = VERSIONS
    if least <= numbers < most:
        return ""
    return f"OR-Tools {version} is not the version it was made for ({least[0]}.{least[1]})"
