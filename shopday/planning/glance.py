"""The plan at a glance: what a prompt, a bar or a shell's completion asks for, answered without reading the shop.

`.glance.json` holds the steps that are not over as they stood in the newest plan, with a stamp of the files it was made
from. It follows from the rest of the folder: where it is missing or old, whoever needs it plans and it is written again.
Everything here is light to import: no models, no scheduler.
"""

from __future__ import annotations

import json
import os
from contextlib import suppress
from pathlib import Path
from typing import Any, NamedTuple

from shopday.atomic_file import put_in_place

GLANCE_FILE = ".glance.json"
VERSION = 2
WRITTEN = ("*.toml", "jobs/*.toml", "recipes/*.toml", "journal.db")
"""What a glance depends on."""


class GlanceWait(NamedTuple):
    """A wait that holds something up: its name, and its end in minutes since the epoch."""

    name: str
    end: int


class GlanceStep(NamedTuple):
    """One pass that is not over. All moments in minutes since the epoch.

    state:     "planned", "put down", "under way" or "waiting". where: the title of its job.
    ready:     from when on it may be started. closes: the last minute that keeps its window (None: it has none).
    stretches: when it is worked on.
    """

    address: str
    label: str
    where: str
    kind: str
    state: str
    ready: int
    closes: int | None
    stretches: tuple[tuple[int, int], ...]
    waits: tuple[GlanceWait, ...]

    @property
    def start(self) -> int:
        return self.stretches[0][0] if self.stretches else self.ready

    def left(self, now: int) -> int:
        """Minutes of work still to do by the plan."""
        return sum(max(0, end - max(start, now)) for start, end in self.stretches)


class Glance(NamedTuple):
    """made: the minute it was planned from; zone, clock: how the shop says times."""

    made: int
    zone: str
    clock: int
    steps: tuple[GlanceStep, ...]

    def holds(self, now: int) -> bool:
        """No work in it was to begin or end since it was made, so that a plan of now has the same."""
        spans = (span for step in self.steps for span in step.stretches)
        passed = (self.made <= start < now or self.made < end <= now for start, end in spans)
        return self.made <= now and not any(passed)


def glance_stamp(folder: Path) -> list[list[object]]:
    """Name, inode, size and time of each file it depends on."""
    found: list[list[object]] = []
    for pattern in WRITTEN:
        for file in sorted(folder.glob(pattern)):
            with suppress(OSError):
                stat = os.stat(file)
                found.append([str(file.relative_to(folder)), stat.st_ino, stat.st_size, stat.st_mtime_ns])
    return found


def keep_glance(folder: Path, glance: Glance) -> None:
    """Write it where it says something new. Where the folder cannot be written there is none."""
    whole = {"shopday_glance": VERSION, "stamp": glance_stamp(folder), "glance": glance}
    text = json.dumps(whole, separators=(",", ":"))
    file = folder / GLANCE_FILE
    with suppress(OSError):
        if not file.exists() or file.read_bytes() != text.encode():
            put_in_place(file, text.encode(), lasting=False)


def forget_glance(folder: Path) -> None:
    """Another plan is on the wall: the next that is worked out has its own."""
    with suppress(OSError):
        (folder / GLANCE_FILE).unlink(missing_ok=True)


def read_glance(folder: Path) -> Glance | None:
    """None where there is none, or something was written since."""
    try:
        found = json.loads((folder / GLANCE_FILE).read_bytes())
        if found["shopday_glance"] != VERSION or found["stamp"] != glance_stamp(folder):
            return None
        made, zone, clock, steps = found["glance"]
        return Glance(int(made), str(zone), int(clock), tuple(map(_step, steps)))
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return None


def _step(found: list[Any]) -> GlanceStep:
    """Raises ValueError or TypeError where this is none."""
    address, label, where, kind, state, ready, closes, stretches, waits = found
    spans = tuple((int(start), int(end)) for start, end in stretches)
    lasting = tuple(GlanceWait(str(name), int(end)) for name, end in waits)
    return GlanceStep(address, label, where, kind, state, ready, closes, spans, lasting)
