"""Where the shop stands, worked out from the facts alone.

Facts count in the order they were written: where two speak of the same thing, the later one is right.
A start no earlier than the finish of its pass opens that pass again; a finish before its start leaves
the start unknown.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from shopday.journal.facts import Fact, live

Key = tuple[str, int]


@dataclass(slots=True)
class PassState:
    """One pass of one step. Minutes since the epoch; None: not so far, or nobody knows when."""

    started: int | None = None
    finished: int | None = None
    people: tuple[str, ...] = ()


@dataclass(slots=True)
class ShopState:
    """What has happened.

    extra_passes: passes found to be needed beyond those written, by address.
    arrived:      minute at which a delivery, or a thing sent away, was here; by address.
    closed:       days on which nobody works (illness), beyond those of the shop's file.
    pins:         starts somebody has fixed, by address and pass.
    readings:     (minute, degrees Celsius) as measured, ascending; of two at one minute the later written.
    """

    passes: dict[Key, PassState] = field(default_factory=dict)
    extra_passes: dict[str, int] = field(default_factory=dict)
    arrived: dict[str, int] = field(default_factory=dict)
    closed: set[dt.date] = field(default_factory=set)
    pins: dict[Key, int] = field(default_factory=dict)
    readings: list[tuple[int, float]] = field(default_factory=list)


def fold(facts: Iterable[Fact]) -> ShopState:
    """Replay the facts; those taken back, and those of unknown kind or without sense, count nothing."""
    state = ShopState()
    for fact in live(facts):
        if apply := APPLY.get(fact.kind):
            apply(state, fact)
    state.readings = sorted(dict(state.readings).items())
    return state


def _start(state: ShopState, fact: Fact) -> None:
    log = state.passes.setdefault((fact.address, fact.pass_no), PassState())
    log.started = fact.at
    log.people = _people(fact.data.get("people")) or log.people
    if log.finished is not None and log.finished <= fact.at:
        log.finished = None


def _finish(state: ShopState, fact: Fact) -> None:
    log = state.passes.setdefault((fact.address, fact.pass_no), PassState())
    log.finished = fact.at
    log.people = _people(fact.data.get("people")) or log.people
    if log.started is not None and log.started > fact.at:
        log.started = None


def _again(state: ShopState, fact: Fact) -> None:
    state.extra_passes[fact.address] = state.extra_passes.get(fact.address, 0) + 1


def _arrived(state: ShopState, fact: Fact) -> None:
    state.arrived[fact.address] = fact.at


def _close_day(state: ShopState, fact: Fact) -> None:
    try:
        state.closed.add(dt.date.fromisoformat(str(fact.data.get("day"))))
    except ValueError:
        return


def _pin(state: ShopState, fact: Fact) -> None:
    """The fixed start is `data["start"]`, so that a start to come can be fixed now; else the fact's minute."""
    start = fact.data.get("start", fact.at)
    if isinstance(start, int):
        state.pins[fact.address, fact.pass_no] = start


def _unpin(state: ShopState, fact: Fact) -> None:
    state.pins.pop((fact.address, fact.pass_no), None)


def _reading(state: ShopState, fact: Fact) -> None:
    celsius = fact.data.get("celsius")
    if isinstance(celsius, int | float) and math.isfinite(celsius):
        state.readings.append((fact.at, float(celsius)))


def _people(value: object) -> tuple[str, ...]:
    return tuple(map(str, value)) if isinstance(value, list | tuple) else ()


APPLY: dict[str, Callable[[ShopState, Fact], None]] = {
    "start": _start,
    "finish": _finish,
    "again": _again,
    "arrived": _arrived,
    "close-day": _close_day,
    "pin": _pin,
    "unpin": _unpin,
    "reading": _reading,
}
