"""What becomes of processes that a test starts."""

from __future__ import annotations

import os
import subprocess
import time
from collections.abc import Callable

LONGEST = 60
"""Seconds after which what does not happen is a failure."""


def until(happens: Callable[[], bool]) -> None:
    end = time.monotonic() + LONGEST
    while not happens():
        assert time.monotonic() < end, "it does not happen"


def children(parent: int = os.getpid(), ended: bool = False) -> list[int]:
    """Processes of a parent that are still at work; or those that have ended and nobody has asked how."""
    listed = subprocess.run(
        ["ps", "-A", "-o", "pid=,ppid=,stat="], capture_output=True, text=True, check=True
    )
    rows = (line.split() for line in listed.stdout.splitlines())
    return [int(pid) for pid, above, state, *_ in rows if int(above) == parent and (state[0] == "Z") == ended]


def is_at_work(pid: int) -> bool:
    found = subprocess.run(["ps", "-o", "stat=", "-p", str(pid)], capture_output=True, text=True, check=False)
    return found.stdout.strip() != "" and not found.stdout.startswith("Z")
