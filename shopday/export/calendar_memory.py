"""What calendars were told: `.calendar.json` in the shop's folder, so that events keep their ids, change only when they
change, and are cancelled when they vanish.

An event is remembered by its text without number, stamp and alarm. Whoever brings in file after file and whoever
subscribes both end with the plan.
"""

from __future__ import annotations

import datetime as dt
import json
import secrets
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from shopday.atomic_file import put_in_place

MEMORY_FILE = ".calendar.json"
VERSION = 1
LASTING = 90
"""Days for which a cancelled event is told."""
LATE_NEWS = 14
"""Days for which the last change of a past event is told."""


@dataclass(frozen=True, slots=True)
class ToldEvent:
    """body: its text. ends: its last day. sequence: how often it changed. stamp: when it last did, in seconds since the
    epoch. cancelled: it is no longer planned."""

    body: str
    ends: str
    sequence: int
    stamp: int
    cancelled: bool = False

    @property
    def last_day(self) -> dt.date:
        return dt.date.fromisoformat(self.ends)


@dataclass(frozen=True, slots=True)
class CalendarMemory:
    """id: what makes this shop's events its own, whatever its name; key: the secret of its address in a browser.
    events: by the part of their UID before the id."""

    id: str
    key: str
    events: Mapping[str, ToldEvent]

    def told_now(self, bodies: Mapping[str, tuple[str, dt.date]], now: dt.datetime) -> CalendarMemory:
        """The memory after telling these events: their texts with their last days."""
        stamp, today = int(now.timestamp()), now.date()
        events = dict(self._known(bodies, stamp))
        for uid, (body, ends) in bodies.items():
            old = self.events.get(uid)
            if old is None and ends >= today:
                events[uid] = ToldEvent(body, ends.isoformat(), 0, stamp)
            elif old is not None and (old.body != body or old.cancelled):
                events[uid] = ToldEvent(body, ends.isoformat(), old.sequence + 1, stamp)
        return replace(self, events=events)

    def _known(
        self, bodies: Mapping[str, tuple[str, dt.date]], stamp: int
    ) -> Iterator[tuple[str, ToldEvent]]:
        """Those told before that are still worth knowing; what is gone is cancelled."""
        oldest = stamp - LASTING * 86400
        for uid, old in self.events.items():
            if uid in bodies or (old.cancelled and old.stamp >= oldest):
                yield uid, old
            elif not old.cancelled:
                yield uid, replace(old, sequence=old.sequence + 1, stamp=stamp, cancelled=True)

    def to_tell(self, now: dt.datetime) -> Iterator[tuple[str, ToldEvent]]:
        """What belongs in the file: from today on, what was cancelled, and past events that changed late."""
        today, news = now.date(), int(now.timestamp()) - LATE_NEWS * 86400
        for uid, event in self.events.items():
            if event.cancelled or event.last_day >= today or (event.sequence and event.stamp >= news):
                yield uid, event


def read_memory(folder: Path) -> CalendarMemory:
    """A new one where there is none that can be read."""
    try:
        found = json.loads((folder / MEMORY_FILE).read_bytes())
        if found["shopday_calendar"] != VERSION:
            raise ValueError("of another version")
        events = {str(uid): ToldEvent(**event) for uid, event in found["events"].items()}
        return CalendarMemory(str(found["id"]), str(found["key"]), events)
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return CalendarMemory(secrets.token_hex(8), secrets.token_urlsafe(18), {})


def write_memory(folder: Path, memory: CalendarMemory) -> None:
    """Where the folder cannot be written the next file is told as if it were the first."""
    text = json.dumps({"shopday_calendar": VERSION, **asdict(memory)}, indent=0, ensure_ascii=False)
    file = folder / MEMORY_FILE
    with suppress(OSError):
        if not file.exists() or file.read_bytes() != text.encode():
            put_in_place(file, text.encode(), lasting=False)
