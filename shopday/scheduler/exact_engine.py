"""The exact engine as the rest of the program knows it: whether it is installed, and its messages.

Nothing here loads it, which would take a second and 120 MB.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib import metadata

from shopday.scheduler.model.problem import Problem

EXACT_PROCESS = "shopday.scheduler.exact.exact_process"
"""The module that its process runs."""

VERSIONS = ((9, 12), (9, 13))
"""The first version allowed and the first one not allowed any more; the tests were run with those between."""


@dataclass(frozen=True)
class ExactRequest:
    """Asks to improve a problem.

    effort: see `ExactSearch`.
    order:  the order of tasks to start from.
    own:    the effort of a search of our own before the first exact round (0: none).

    For every further turn, the best result known is sent.
    """

    problem: Problem
    effort: float
    order: Sequence[int] | None
    own: float


@dataclass(frozen=True)
class ExactEnded:
    """The last answer: no further turn follows. trouble: why the engine cannot do this problem, in a few words."""

    trouble: str = ""


@cache
def exact_engine_trouble() -> str:
    """Why the exact engine cannot be used, in a few words; "" if it can."""
    try:
        version = metadata.version("ortools")
    except metadata.PackageNotFoundError:
        return "OR-Tools is not installed"
    numbers = tuple(int(part) for part in version.split(".")[:2] if part.isdigit())
    least, most = VERSIONS
    if least <= numbers < most:
        return ""
    return f"OR-Tools {version} is not the version it was made for ({least[0]}.{least[1]})"
