"""The plan at a glance: what a prompt, a bar or a shell's completion asks for, answered without reading the shop.

`.glance.json` holds the steps that are not over as they stood in the newest plan, with a stamp of the files it was made
from. It follows from the rest of the folder: where it is missing or old, whoever needs it plans and it is written again.
Everything here is light to import: no models, no scheduler.
"""

from __future__ import annotations

import json
import os
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from shopday.atomic_file import put_in_place

GLANCE_FILE = ".glance.json"
VERSION = 1
WRITTEN = ("*.toml", "jobs/*.toml", "recipes/*.toml", "journal.db")
"""What a glance depends on."""


@dataclass(frozen=True, slots=True)
class GlanceWait:
    """A wait that holds something up: its name, and its end in minutes since the epoch."""

    name: str
    end: int


@dataclass(frozen=True, slots=True)
class GlanceStep:
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


@dataclass(frozen=True, slots=True)
class Glance:
    """made: the minute it was planned from; zone, clock: how the shop says times."""

    made: int
    zone: str
    clock: int
    steps: tuple[GlanceStep, ...]


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
    text = json.dumps(
        {"shopday_glance": VERSION, "stamp": glance_stamp(folder), **asdict(glance)}, separators=(",", ":")
    )
    file = folder / GLANCE_FILE
    with suppress(OSError):
        if not file.exists() or file.read_bytes() != text.encode():
            put_in_place(file, text.encode(), lasting=False)


def read_glance(folder: Path) -> Glance | None:
    """None where there is none, or something was written since."""
    try:
        found = json.loads((folder / GLANCE_FILE).read_bytes())
        if found["shopday_glance"] != VERSION or found["stamp"] != glance_stamp(folder):
            return None
        steps = tuple(map(_step, found["steps"]))
        return Glance(int(found["made"]), str(found["zone"]), int(found["clock"]), steps)
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return None


def _step(found: dict[str, Any]) -> GlanceStep:
    """Raises ValueError, TypeError or KeyError where this is none."""
    spans = tuple((int(start), int(end)) for start, end in found.pop("stretches"))
    waits = tuple(GlanceWait(str(wait["name"]), int(wait["end"])) for wait in found.pop("waits"))
    return GlanceStep(stretches=spans, waits=waits, **found)
