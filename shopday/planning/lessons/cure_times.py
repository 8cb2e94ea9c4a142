"""How long cures really took: from the end of the work to the next work on the piece, where that tells it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shopday.journal.state import Key
from shopday.planning.encoding.passes import Pass
from shopday.planning.encoding.shop_temperature import Warmth
from shopday.scheduler import Calendar, RatedClock
from shopday.shop.models import Material, Wait
from shopday.shop.step_graph import HANDS_OFF, StepGraph

TAKEN_UP = 1.5
"""A cure that lasted more than this multiple of its length tells when somebody came, not when it was hard."""


@dataclass(frozen=True, slots=True)
class Cured:
    """A pass whose cure was followed by other work: the minutes the cure `takes` as written, and those it `took`.

    They are minutes at the rated temperature, like those of the label, if the shop's temperature is known.
    """

    after: Pass
    material: Material
    takes: int
    took: int


def cured(
    passes: Sequence[Pass], expansion: StepGraph, warmth: Warmth | None, opened: Calendar
) -> Iterator[Cured]:
    """Every cure that tells something. opened: the shop's hours."""
    taken_up = _taken_up(passes, expansion)
    clocks: dict[str, RatedClock] = {}
    for p in passes:
        ends = p.log.finished if p.log is not None else None
        if p.material is None or ends is None or p.key not in taken_up:
            continue
        if warmth is not None and p.material.id not in clocks:
            clocks[p.material.id] = warmth.clock(p.material)
        starts, waits = taken_up[p.key]
        takes = sum(wait.takes for wait in waits)
        due, took = _cure(ends, starts, waits, clocks.get(p.material.id))
        if 0 < took <= TAKEN_UP * takes and (starts <= due or _in_all_along(opened, due, starts)):
            yield Cured(p, p.material, takes, took)


def _taken_up(passes: Sequence[Pass], expansion: StepGraph) -> dict[Key, tuple[int, tuple[Wait, ...]]]:
    """By pass: when the first work that had to wait for it was started, and which waits it had to wait for."""
    found: dict[Key, tuple[int, tuple[Wait, ...]]] = {}
    last = {p.address: p for p in passes}

    def note(p: Pass, starts: int, when: str | None) -> None:
        waits = tuple(wait for wait in p.waits if not wait.informs)
        names = [wait.name for wait in waits]
        waits = waits[: names.index(when) + 1] if when in names else waits
        if waits and when != HANDS_OFF and (p.key not in found or starts < found[p.key][0]):
            found[p.key] = starts, waits

    known = {p.key: p for p in passes}
    for p in passes:
        starts = p.log.started if p.log is not None else None
        if starts is None or p.step.absent:
            continue
        if p.pass_no > 1:
            note(known[p.address, p.pass_no - 1], starts, None)
            continue
        for before in expansion.before[p.address]:
            if before.address in last:
                note(last[before.address], starts, before.when)
    return found


def _cure(ends: int, starts: int, waits: Sequence[Wait], clock: RatedClock | None) -> tuple[int, int]:
    """When the waits were due to be over, and the minutes they had until `starts`, at the rated temperature where
    they cure."""
    begins, took = ends, 0.0
    for n, wait in enumerate(waits):
        rated = clock if wait.cures else None
        over = begins + wait.takes if rated is None else rated.after(begins, wait.takes)
        until = starts if n == len(waits) - 1 else min(starts, over)
        took += until - begins if rated is None else rated.reading(until) - rated.reading(begins)
        begins = until
    return over, round(took)


def _in_all_along(opened: Calendar, due: int, starts: int) -> bool:
    """True if the shop was open without a break from `due` to `starts`, so that somebody was there when it was due."""
    span = opened.span_at(due)
    return span is not None and starts <= span[1]
