"""Actual work: minutes within the hours of the people who did it, each minute of a person counted once."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import pairwise

from shopday.journal.state import Key
from shopday.planning.encoding.horizon import first_minute
from shopday.planning.encoding.open_hours import OpenHours, Zone
from shopday.planning.encoding.passes import Pass
from shopday.planning.encoding.work_intervals import hours_of, open_intervals
from shopday.scheduler import MinuteSpan
from shopday.shop.models import Shop

WorkSpell = tuple[MinuteSpan, Key, tuple[str, ...]]
"""A span of minutes without a break, the pass it was spent on, and the people who worked."""


def actual_minutes(passes: Iterable[Pass], hours: OpenHours, now: int | None = None) -> dict[Key, int]:
    """Minutes worked on each pass whose start and end are logged; with `now`, on what is still in hand too, up to then.
    Work wholly outside all hours counts in full.

    A person with several passes in hand at once divides the minutes evenly among them.
    """
    spells = [spell for p in passes for spell in _spells(p, hours, now)]
    return {key: round(minutes) for key, minutes in shared(spells).items()}


def hours_so_far(shop: Shop, passes: tuple[Pass, ...], now: int) -> OpenHours:
    """The shop's hours from the first logged fact until now."""
    zone = Zone(shop.timezone)
    first = zone.date(first_minute(passes, now))
    return OpenHours(shop, zone, first, zone.date(now) + dt.timedelta(days=1))


def shared(spells: Iterable[WorkSpell]) -> dict[Key, float]:
    """The minutes worked on each pass; where a person works on several at once, each gets an equal share."""
    changes: dict[int, list[tuple[int, Key, tuple[str, ...]]]] = {}
    for (start, end), key, people in spells:
        changes.setdefault(start, []).append((1, key, people))
        changes.setdefault(end, []).append((-1, key, people))
    minutes: dict[Key, float] = {}
    at_it: dict[Key, tuple[str, ...]] = {}
    busy: Counter[str] = Counter()
    for minute, following in pairwise(sorted(changes)):
        for begins, key, people in sorted(changes[minute]):
            busy.update(dict.fromkeys(people, begins))
            if begins > 0:
                at_it[key] = people
            else:
                del at_it[key]
        for key, people in at_it.items():
            most = max((busy[person] for person in people), default=1)
            minutes[key] = minutes.get(key, 0.0) + (following - minute) / most
    return minutes


def _spells(p: Pass, hours: OpenHours, now: int | None) -> Iterator[WorkSpell]:
    """The open minutes worked on a pass; if it is finished and none of them is open, all its minutes."""
    log = p.log
    if log is None or log.started is None:
        return
    over = now if log.finished is None else log.finished
    if over is None or over <= log.started:
        return
    usual = hours.calendars[hours.open]
    for spell in log.worked(over):
        end = spell.start if spell.end is None else spell.end
        spans = open_intervals(hours_of(hours, p, spell.people, usual), spell.start, end)
        if not spans and log.finished is not None:
            spans = ((spell.start, end),)
        yield from ((span, p.key, spell.people) for span in spans if span[0] < span[1])
