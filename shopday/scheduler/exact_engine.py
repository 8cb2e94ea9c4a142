"""Whether the exact engine is installed, told without loading it: that would take a second and 120 MB."""

from __future__ import annotations

from functools import cache
from importlib import metadata

EXACT_PROCESS = "shopday.scheduler.exact.exact_process"
"""The program of the process in which it works."""

VERSIONS = ((9, 12), (9, 13))
"""From the first up to the second, left out: what the tests were run with."""


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
