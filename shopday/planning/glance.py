"""The plan at a glance: what a prompt, a status bar or a shell's completion needs, without reading the shop.

`.glance.json` holds the unfinished steps as they stood in the newest plan, with a stamp of the files it was made
from. It can be made again from the rest of the folder: if it is missing or old, the caller plans, and it is written
again. Everything here is light to import: no models, no scheduler.
"""

from __future__ import annotations

import json
from contextlib import suppress
from itertools import chain
from pathlib import Path
from typing import Any, NamedTuple

from shopday.atomic_file import put_in_place
from shopday.file_stamps import file_stamps

GLANCE_FILE = ".glance.json"
VERSION = 2
WRITTEN = ("*.toml", "jobs/*.toml", "recipes/*.toml", "journal.db")
"""The files that a glance depends on."""


class GlanceWait(NamedTuple):
    """A wait that delays something: its name, and its end in minutes since the epoch."""

    name: str
    end: int


class GlanceStep(NamedTuple):
    """One unfinished pass. All times are minutes since the epoch.

    where:     the title of its job.
    state:     "planned", "put down", "under way" or "waiting".
    ready:     from when it may be started.
    closes:    the last minute that keeps its window (None: it has none).
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
    """The unfinished steps of a plan.

    made:        the minute it was planned for.
    zone, clock: how the shop tells times.
    """

    made: int
    zone: str
    clock: int
    steps: tuple[GlanceStep, ...]

    def holds(self, now: int) -> bool:
        """True if no work in it was due to begin or end since it was made, so that a new plan would say the same."""
        spans = (span for step in self.steps for span in step.stretches)
        passed = (self.made <= start < now or self.made < end <= now for start, end in spans)
        return self.made <= now and not any(passed)


def glance_stamp(folder: Path) -> list[list[object]]:
    """The stamps of all files that a glance depends on, as JSON has them."""
    files = chain.from_iterable(sorted(folder.glob(pattern)) for pattern in WRITTEN)
    return [list(stamp) for stamp in file_stamps(files, folder)]


def keep_glance(folder: Path, glance: Glance) -> None:
    """Write the glance if it differs from the file. If the folder cannot be written, nothing is kept."""
    whole = {"shopday_glance": VERSION, "stamp": glance_stamp(folder), "glance": glance}
    text = json.dumps(whole, separators=(",", ":"))
    file = folder / GLANCE_FILE
    with suppress(OSError):
        if not file.exists() or file.read_bytes() != text.encode():
            put_in_place(file, text.encode(), lasting=False)


def forget_glance(folder: Path) -> None:
    """Delete the glance, as another plan is kept now; the next plan worked out writes its own."""
    with suppress(OSError):
        (folder / GLANCE_FILE).unlink(missing_ok=True)


def read_glance(folder: Path) -> Glance | None:
    """The kept glance; None if there is none, or a file has changed since."""
    try:
        found = json.loads((folder / GLANCE_FILE).read_bytes())
        if found["shopday_glance"] != VERSION or found["stamp"] != glance_stamp(folder):
            return None
        made, zone, clock, steps = found["glance"]
        return Glance(int(made), str(zone), int(clock), tuple(map(_step, steps)))
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return None


def _step(found: list[Any]) -> GlanceStep:
    """Read a step. Raises ValueError or TypeError if the data is none."""
    address, label, where, kind, state, ready, closes, stretches, waits = found
    spans = tuple((int(start), int(end)) for start, end in stretches)
    lasting = tuple(GlanceWait(str(name), int(end)) for name, end in waits)
    return GlanceStep(address, label, where, kind, state, ready, closes, spans, lasting)
