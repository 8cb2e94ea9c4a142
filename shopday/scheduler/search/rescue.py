"""Rescue: before tasks are given up that no rule finds a place for, other orders, crews and delays are tried."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence

from shopday.scheduler.model.result import Cause
from shopday.scheduler.placing.builder import Builder
from shopday.scheduler.placing.built_schedule import BuiltSchedule

RESCUE = 3000
"""What may be spent on orders and crews by chance (see `Builder.spent`)."""

RANDOM_CREW_SHARE = 0.2
"""How often a task that several crews can do is given to one of them by chance meanwhile."""

DELAY_BUDGET = 20_000
"""What may be spent on holding back single tasks of a unit whose windows are not kept."""

RETRIES = 40
"""How often the tasks of a unit are moved meanwhile."""


def rescued(builder: Builder, built: BuiltSchedule) -> BuiltSchedule:
    """Let each task, and what it waits for, go first; then try orders and crews by chance; then hold tasks back."""
    best = built
    for i in _lost(builder, built):
        if i in best.refused:
            ahead = _closure(builder, i)
            again = builder.build(complete_order(builder, [*ahead, *built.order]), limit=best.cost)
            if again is not None and again.aim < best.aim:
                best = again
    chance, last = random.Random(0), builder.spent + RESCUE
    several = [i for i, prepared in enumerate(builder.compiled.prepared) if len(prepared.staff) > 1]
    while (lost := _lost(builder, best)) and builder.spent < last:
        chosen = dict(builder.placer.chosen)
        for i in several:
            if chance.random() < RANDOM_CREW_SHARE:
                builder.placer.chosen[i] = chance.randrange(len(builder.compiled.prepared[i].staff))
        ahead = _closure(builder, chance.choice(lost))
        reach = chance.choice((2, 10, len(best.order)))
        first = len(best.order) * (chance.random() < 0.5)
        keys = {
            i: k + reach * chance.random() - first * (i in ahead)
            for k, i in enumerate(complete_order(builder, best.order))
        }
        again = builder.build(sorted(keys, key=keys.__getitem__), limit=best.cost)
        if again is not None and again.aim < best.aim:
            best = again
        else:
            builder.placer.chosen = chosen
    return _held_back(builder, best)


def _held_back(builder: Builder, built: BuiltSchedule) -> BuiltSchedule:
    """Hold one task of a unit back until another task is over: placed as early as it may be, it can be in the way of
    one that hangs on it by a window."""
    best, last = built, builder.spent + DELAY_BUDGET
    builder.units.retries, retries = RETRIES, builder.units.retries
    for i, minute in _delays(builder, built):
        if builder.spent > last or not _lost(builder, best):
            break
        before = builder.placer.not_before
        builder.placer.not_before = {**before, i: minute}
        again = builder.build(complete_order(builder, best.order), limit=best.cost)
        if again is not None and again.aim < best.aim:
            best = again
        else:
            builder.placer.not_before = before
    builder.units.retries = retries
    return best


def _delays(builder: Builder, built: BuiltSchedule) -> Iterator[tuple[int, int]]:
    """Tasks that share a unit with one whose window is not kept, and the ends of others after their starts."""
    lost = [i for i in _lost(builder, built) if built.refused[i].cause is Cause.WINDOW]
    units = dict.fromkeys(builder.compiled.unit_of[i] for i in lost)
    for i in (i for u in units for i in builder.compiled.units[u]):
        moments = built.moments[i]
        if moments is not None and builder.start.moments[i] is None:
            ends = {at[1] for at in built.moments if at is not None}
            yield from ((i, end) for end in sorted(ends) if end > moments[0])


def _lost(builder: Builder, built: BuiltSchedule) -> list[int]:
    """The tasks without a place that are not refused for what they wait for."""
    new = (i for i in built.refused if i not in builder.refused)
    return [i for i in new if built.refused[i].cause is not Cause.NEEDS]


def _closure(builder: Builder, i: int) -> dict[int, None]:
    """A task and everything before it, in an order in which they can be placed."""
    compiled = builder.compiled
    found = {i}
    stack = [i]
    while stack:
        for j in compiled.needs[stack.pop()]:
            if j not in found:
                found.add(j)
                stack.append(j)
    return dict.fromkeys(sorted(found, key=compiled.rank.__getitem__))


def complete_order(builder: Builder, order: Sequence[int]) -> list[int]:
    """An order of an earlier problem for this one: what it does not name comes last."""
    tasks = range(len(builder.compiled.prepared))
    return list(dict.fromkeys([*(i for i in order if i in tasks), *tasks]))
