"""The state of the shop, as a fold over the facts.

Facts count in the order they were written: if two contradict each other, the later one holds. A start no earlier
than the finish of its pass reopens that pass; a finish before its start leaves the start unknown.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from shopday.journal.facts import MINUTES, Fact, live

Key = tuple[str, int]

MOST_AGAIN, LONGEST_AGAIN = 20, 14_400
"""The most passes that one fact may ask for, and the most minutes of work before them."""


class Spell(NamedTuple):
    """Time in which a pass was in somebody's hands, in minutes. end: None until it is paused or finished; people:
    empty if nobody knows who."""

    start: int
    end: int | None = None
    people: tuple[str, ...] = ()


@dataclass(slots=True)
class PassState:
    """One pass of one step, in minutes since the epoch (None: not so far, or not known).

    spells:  when it was worked on, in order; between them it was paused.
    people:  who has it, or had it last.
    skipped: it was not needed: it is over at `finished`, and no work was done.
    """

    spells: tuple[Spell, ...] = ()
    finished: int | None = None
    people: tuple[str, ...] = ()
    skipped: bool = False

    @property
    def started(self) -> int | None:
        return self.spells[0].start if self.spells else None

    @property
    def going(self) -> bool:
        """True if it is in somebody's hands."""
        return self.finished is None and bool(self.spells) and self.spells[-1].end is None

    def worked(self, now: int) -> tuple[Spell, ...]:
        """The spells up to now, each with its end."""
        over = now if self.finished is None else self.finished
        return tuple(s._replace(end=over if s.end is None else min(s.end, over)) for s in self.spells)

    @property
    def put_down(self) -> int | None:
        """The minute at which it was paused, until it is resumed; else None."""
        return self.spells[-1].end if self.finished is None and self.spells else None


class OrderState(NamedTuple):
    """What is known of something ordered or sent out, in minutes since the epoch (None: not so far).

    expected: the day it is expected, as last logged.
    call:     the day by which to ask again, if one was set.
    """

    ordered: int | None = None
    asked: int | None = None
    expected: dt.date | None = None
    call: dt.date | None = None


@dataclass(slots=True)
class ShopState:
    """What has happened.

    passes:       what was logged of each pass. Deliveries, and things sent away, are finished when they are here.
    extra_passes: passes needed beyond those written, by address.
    closed:       days on which nobody works (illness), beyond those of the shop's file.
    pins:         pinned starts, by address and pass.
    reworked:     minutes of sanding back or cutting out before a further pass, by address and pass.
    moisture:     the last reading of each board, in %, by the address of the step that needs it.
    tested:       minutes at which a wait is over by a test: by address and pass, then by the wait's name.
    orders:       what was ordered and asked for, by address and pass.
    readings:     (minute, degrees Celsius) as measured, ascending; of two at one minute, the one written later.
    """

    passes: dict[Key, PassState] = field(default_factory=dict)
    extra_passes: dict[str, int] = field(default_factory=dict)
    closed: set[dt.date] = field(default_factory=set)
    pins: dict[Key, int] = field(default_factory=dict)
    reworked: dict[Key, int] = field(default_factory=dict)
    moisture: dict[str, dict[str, float]] = field(default_factory=dict)
    tested: dict[Key, dict[str, int]] = field(default_factory=dict)
    orders: dict[Key, OrderState] = field(default_factory=dict)
    readings: list[tuple[int, float]] = field(default_factory=list)


def fold(facts: Iterable[Fact]) -> ShopState:
    """Replay the facts. Undone facts, and facts of unknown kind or without sense, are ignored."""
    state = ShopState()
    for fact in live(facts):
        if apply := APPLY.get(fact.kind):
            apply(state, fact)
    state.readings = sorted(dict(state.readings).items())
    return state


def _of(state: ShopState, fact: Fact) -> PassState:
    return state.passes.setdefault((fact.address, fact.pass_no), PassState())


def _start(state: ShopState, fact: Fact) -> None:
    """Begin or resume a pass; for a pass in hand it corrects when that was."""
    log = _of(state, fact)
    log.people = _people(fact.data.get("people")) or log.people
    new = Spell(fact.at, None, log.people)
    if log.skipped or (log.finished is not None and log.finished <= fact.at):
        log.spells, log.finished, log.skipped = (new,), None, False
        return
    last = log.spells[-1] if log.spells else None
    if last is None or (last.end is not None and last.end <= fact.at):
        log.spells += (new,)
    else:
        start = fact.at if last.end is None else min(last.start, fact.at)
        log.spells = (*log.spells[:-1], new._replace(start=start))


def _pause(state: ShopState, fact: Fact) -> None:
    """Pause a pass; ignored if it is in nobody's hands."""
    log = state.passes.get((fact.address, fact.pass_no))
    if log is not None and log.going and fact.at >= log.spells[-1].start:
        log.spells = (*log.spells[:-1], log.spells[-1]._replace(end=fact.at))


def _finish(state: ShopState, fact: Fact) -> None:
    log = _of(state, fact)
    log.finished, log.skipped = fact.at, False
    log.people = _people(fact.data.get("people")) or log.people
    log.spells = tuple(spell for spell in log.spells if spell.start <= fact.at)
    state.tested.pop((fact.address, fact.pass_no), None)


def _skip(state: ShopState, fact: Fact) -> None:
    log = _of(state, fact)
    log.spells, log.finished, log.people, log.skipped = (), fact.at, (), True


def _again(state: ShopState, fact: Fact) -> None:
    passes, first = fact.data.get("passes", 1), fact.data.get("first", 0)
    if isinstance(passes, int) and 1 <= passes <= MOST_AGAIN:
        state.extra_passes[fact.address] = state.extra_passes.get(fact.address, 0) + passes
    if isinstance(first, int) and first > 0:
        state.reworked[fact.address, fact.pass_no] = min(first, LONGEST_AGAIN)


def _close_day(state: ShopState, fact: Fact) -> None:
    if (day := _day(fact.data.get("day"))) is not None:
        state.closed.add(day)


def _pin(state: ShopState, fact: Fact) -> None:
    """Pin a start: `data["start"]`, so that a later start can be pinned now; otherwise the fact's minute."""
    start = fact.data.get("start", fact.at)
    if isinstance(start, int):
        state.pins[fact.address, fact.pass_no] = start


def _unpin(state: ShopState, fact: Fact) -> None:
    state.pins.pop((fact.address, fact.pass_no), None)


def _moisture(state: ShopState, fact: Fact) -> None:
    percent = fact.data.get("percent")
    if isinstance(percent, int | float) and math.isfinite(percent):
        state.moisture.setdefault(fact.address, {})[str(fact.data.get("board", ""))] = float(percent)


def _tested(state: ShopState, fact: Fact) -> None:
    until = fact.data.get("until")
    if isinstance(until, int) and until in MINUTES:
        state.tested.setdefault((fact.address, fact.pass_no), {})[str(fact.data.get("wait"))] = until


def _ordered(state: ShopState, fact: Fact) -> None:
    _said(state, fact, ordered=fact.at)


def _asked(state: ShopState, fact: Fact) -> None:
    _said(state, fact, asked=fact.at)


def _said(state: ShopState, fact: Fact, **when: int) -> None:
    """Take over what was logged with it. The day to call by holds until somebody asks again."""
    key = fact.address, fact.pass_no
    known = state.orders.get(key, OrderState())
    expected = _day(fact.data.get("expected")) or known.expected
    state.orders[key] = known._replace(expected=expected, call=_day(fact.data.get("call")), **when)


def _day(value: object) -> dt.date | None:
    try:
        return dt.date.fromisoformat(str(value))
    except ValueError:
        return None


def _reading(state: ShopState, fact: Fact) -> None:
    celsius = fact.data.get("celsius")
    if isinstance(celsius, int | float) and math.isfinite(celsius):
        state.readings.append((fact.at, float(celsius)))


def _people(value: object) -> tuple[str, ...]:
    return tuple(map(str, value)) if isinstance(value, list | tuple) else ()


APPLY: dict[str, Callable[[ShopState, Fact], None]] = {
    "start": _start,
    "pause": _pause,
    "finish": _finish,
    "arrived": _finish,
    "skip": _skip,
    "again": _again,
    "close-day": _close_day,
    "pin": _pin,
    "unpin": _unpin,
    "reading": _reading,
    "moisture": _moisture,
    "tested": _tested,
    "ordered": _ordered,
    "asked": _asked,
}
