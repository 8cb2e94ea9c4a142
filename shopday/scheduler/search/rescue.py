"""Rescue: before tasks are given up that no rule finds a place for, other orders, crews and delays are tried."""

from __future__ import annotations

import random
from collections.abc import Sequence

from shopday.scheduler.model.heartbeats import Steps
from shopday.scheduler.model.result import Cause
from shopday.scheduler.placing.builder import Builder
from shopday.scheduler.placing.built_schedule import BuiltSchedule

RESCUE = 3000
"""What may be spent on orders and crews by chance (see `Builder.spent`)."""

RANDOM_CREW_SHARE = 0.2
"""How often a task that several crews can do is given to one of them by chance meanwhile."""

DELAY_BUDGET = 40_000
"""What may be spent on holding back tasks of a unit whose windows are not kept."""

HELD_BACK = (1, 1, 2, 3)
"""How many tasks are held back at a time; a repeated number is drawn more often."""

LET_GO_SHARE = 0.3
"""How often one that is held back already is let go instead."""

SHAKE = 8
"""By up to how many places tasks move in the order, every other time."""

RETRIES = 40
"""How often the tasks of a unit are moved meanwhile."""


def rescued(builder: Builder, built: BuiltSchedule) -> Steps[BuiltSchedule]:
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
        yield
        if again is not None and again.aim < best.aim:
            best = again
        else:
            builder.placer.chosen = chosen
    return (yield from _held_back(builder, best))


def _held_back(builder: Builder, built: BuiltSchedule) -> Steps[BuiltSchedule]:
    """Hold some tasks of a unit back until others are over, by chance: placed as early as it may be, a task can be in
    the way of one that hangs on it by a window."""
    placer, compiled, best = builder.placer, builder.compiled, built
    chance, last = random.Random(3), builder.spent + DELAY_BUDGET
    builder.units.retries, retries = RETRIES, builder.units.retries
    while (lost := _out_of_window(builder, best)) and builder.spent < last:
        before = placer.not_before
        held = dict(before)
        ends = [moments[1] for moments in best.moments if moments is not None] or [builder.problem.now]
        unit = [
            i for i in compiled.units[compiled.unit_of[chance.choice(lost)]] if not builder.start.moments[i]
        ]
        for i in chance.sample(unit, min(len(unit), chance.choice(HELD_BACK))):
            if i not in held or chance.random() >= LET_GO_SHARE:
                held[i] = chance.choice(ends)
            else:
                del held[i]
        reach = chance.choice((0, SHAKE))
        keys = {i: k + reach * chance.random() for k, i in enumerate(complete_order(builder, best.order))}
        placer.not_before = held
        again = builder.build(sorted(keys, key=keys.__getitem__))
        yield
        if again is not None and again.aim <= best.aim:
            best = again
        else:
            placer.not_before = before
    builder.units.retries = retries
    return best


def _out_of_window(builder: Builder, built: BuiltSchedule) -> list[int]:
    """The tasks without a place whose window is not kept."""
    return [i for i in _lost(builder, built) if built.refused[i].cause is Cause.WINDOW]


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
