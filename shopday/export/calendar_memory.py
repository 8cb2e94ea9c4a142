"""What calendars were told: `.calendar.json` in the shop's folder, so that events keep their ids, change only when
they change, and are cancelled when they disappear.

An event is remembered by its text without number, stamp and alarm. Importing file after file and subscribing both
lead to the events of the plan.
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
DAYS_CANCELLED_TOLD = 90
"""Days for which a cancelled event is told."""
DAYS_CHANGED_TOLD = 14
"""Days for which the last change of a past event is told."""


@dataclass(frozen=True, slots=True)
class ToldEvent:
    """An event as it was told.

    body:      its text.
    ends:      its last day.
    sequence:  how often it has changed.
    stamp:     when it last changed, in seconds since the epoch.
    cancelled: it is no longer planned.
    """

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
    """What calendars were told.

    id:     makes this shop's events its own, whatever its name.
    key:    the secret in the address of the subscribed calendar.
    events: by the part of their UID before the id.
    """

    id: str
    key: str
    events: Mapping[str, ToldEvent]

    def told_now(self, bodies: Mapping[str, tuple[str, dt.date]], now: dt.datetime) -> CalendarMemory:
        """The memory after telling these events. bodies: text and last day by UID."""
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
        """The events told before that are still relevant; those that are gone become cancelled."""
        oldest = stamp - DAYS_CANCELLED_TOLD * 86400
        for uid, old in self.events.items():
            if uid in bodies or (old.cancelled and old.stamp >= oldest):
                yield uid, old
            elif not old.cancelled:
                yield uid, replace(old, sequence=old.sequence + 1, stamp=stamp, cancelled=True)

    def to_tell(self, now: dt.datetime) -> Iterator[tuple[str, ToldEvent]]:
        """The events for the file: from today on, cancelled ones, and past ones that changed late."""
        today, news = now.date(), int(now.timestamp()) - DAYS_CHANGED_TOLD * 86400
        for uid, event in self.events.items():
            if event.cancelled or event.last_day >= today or (event.sequence and event.stamp >= news):
                yield uid, event


def read_memory(folder: Path) -> CalendarMemory:
    """The memory of a shop; a new one if none can be read."""
    try:
        found = json.loads((folder / MEMORY_FILE).read_bytes())
        if found["shopday_calendar"] != VERSION:
            raise ValueError("of another version")
        events = {str(uid): ToldEvent(**event) for uid, event in found["events"].items()}
        return CalendarMemory(str(found["id"]), str(found["key"]), events)
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return CalendarMemory(secrets.token_hex(8), secrets.token_urlsafe(18), {})


def write_memory(folder: Path, memory: CalendarMemory) -> None:
    """Write the memory. If the folder cannot be written, the next file is told as if it were the first."""
    text = json.dumps({"shopday_calendar": VERSION, **asdict(memory)}, indent=0, ensure_ascii=False)
    file = folder / MEMORY_FILE
    with suppress(OSError):
        if not file.exists() or file.read_bytes() != text.encode():
            put_in_place(file, text.encode(), lasting=False)
