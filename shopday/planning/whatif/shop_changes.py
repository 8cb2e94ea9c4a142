"""Changes that a maker could make to the shop or its jobs, each with the changed folder."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from shopday.planning.plan import Plan, PlannedStep, State
from shopday.planning.step_names import written
from shopday.planning.whatif.extra_hours import more_hands, with_shop
from shopday.shop.fields import Takes
from shopday.shop.folder import ShopFolder
from shopday.shop.models import Away, Job, Step, Wait
from shopday.shop.quantities import takes_text

MORE_GEAR = 6
LATER_PROMISE = dt.timedelta(days=7)
OUTSIDE_TAKES: Takes = ("workdays", 5)
LONG_WORK = 180
MOST_SENT = 5
"""What is tried: pieces of gear, a later promise, how long a workshop nearby takes, and which work is worth sending
there."""

FASTER = {
    "glue": "a glue that sets twice as fast as",
    "resin": "a hardener twice as fast for",
    "finish": "a finish that dries twice as fast as",
}
"""What a faster material is called, by kind."""


@dataclass(frozen=True, slots=True)
class ShopChange:
    """A change in words, and the changed folder. gives_way: the job whose promise it moves, if any."""

    text: str
    folder: ShopFolder
    gives_way: str | None = None


def possible_changes(folder: ShopFolder, plan: Plan) -> Iterator[ShopChange]:
    """Every change that concerns work still to be done."""
    ahead = [row for row in plan.steps if row.state is State.PLANNED and row.kind == "work"]
    together = [row for row in ahead if len(row.people) > 1]
    for_two = bool(together or plan.unplaced)
    waiting = [day for row in together if (day := _ready(plan, row)) < row.start.date()]
    yield from (
        ShopChange(text, more) for text, more in more_hands(folder, plan.now.date(), for_two, waiting)
    )
    yield from _things(folder, ahead)
    yield from _hardeners(folder, ahead)
    yield from _sent_out(folder, ahead)
    yield from _promises(folder, plan)


def _ready(plan: Plan, row: PlannedStep) -> dt.date:
    """The day on which everything that a step comes after is over."""
    return max((awaited.over for awaited in row.awaits), key=dt.datetime.timestamp, default=plan.now).date()


# ------------------------------------------------------------ things


def _things(folder: ShopFolder, ahead: list[PlannedStep]) -> Iterator[ShopChange]:
    gear = {id for row in ahead for id in row.gear}
    stations = {id for row in ahead for id in row.stations}
    for kind in folder.shop.gear:
        if kind.id in gear:
            own = kind.model_copy(update={"count": kind.count + MORE_GEAR})
            more = tuple(own if x is kind else x for x in folder.shop.gear)
            yield ShopChange(f"{MORE_GEAR} more {_plain(kind.name, kind.id)}", with_shop(folder, gear=more))
    for station in folder.shop.stations:
        if station.id in stations:
            second = station.model_copy(update={"count": station.count + 1})
            both = tuple(second if x is station else x for x in folder.shop.stations)
            yield ShopChange(f"one more {_plain(station.name, station.id)}", with_shop(folder, stations=both))


def _plain(name: str, id: str) -> str:
    """A name as it stands in the middle of a sentence."""
    said = (name or id).replace("-", " ")
    return said[:1].lower() + said[1:] if said[1:2].islower() else said


# ------------------------------------------------------------ steps


def _hardeners(folder: ShopFolder, ahead: list[PlannedStep]) -> Iterator[ShopChange]:
    """Halve the curing waits of one material at a time, also in steps that write their own waits."""
    used = {written(folder, row).material for row in ahead}
    for id, material in folder.materials.items():
        if id not in used or material.kind not in FASTER:
            continue

        def faster(address: str, step: Step, id: str = id) -> Step:
            own = step.material == id and step.waits is not None
            return step.model_copy(update={"waits": _halved(step.waits or ())}) if own else step

        quick = material.model_copy(update={"waits": _halved(material.waits)})
        changed = replace(_with_steps(folder, faster), materials={**folder.materials, id: quick})
        if changed.materials != folder.materials or changed.jobs != folder.jobs:
            yield ShopChange(f"{FASTER[material.kind]} {_plain(material.name, id)}", changed)


def _halved(waits: tuple[Wait, ...]) -> tuple[Wait, ...]:
    return tuple(
        w.model_copy(update={"takes": w.takes // 2}) if w.cures and not w.informs else w for w in waits
    )


def _sent_out(folder: ShopFolder, ahead: list[PlannedStep]) -> Iterator[ShopChange]:
    """The longest plain work, sent to a workshop nearby. Work that cures or has a window stays here."""
    plain = [(step.hands_on, row) for row in ahead if _can_leave(step := written(folder, row), row)]
    for _, row in sorted(plain, key=lambda pair: -pair[0])[:MOST_SENT]:
        address = row.address

        def away(other: str, step: Step, address: str = address) -> Step:
            return _outside(step) if other == address else step

        text = f"sending {row.full} out for {takes_text(OUTSIDE_TAKES)}"
        yield ShopChange(text, _with_steps(folder, away))


def _can_leave(step: Step, row: PlannedStep) -> bool:
    plain = not row.waits and row.passes == 1 and step.on is None and step.within is None
    return plain and step.hands_on >= LONG_WORK and not step.material


def _outside(step: Step) -> Step:
    return Step(
        id=step.id, name=step.name, after=step.after, away=Away(who="a workshop nearby", takes=OUTSIDE_TAKES)
    )


def _with_steps(folder: ShopFolder, change: Callable[[str, Step], Step]) -> ShopFolder:
    def changed(at: str, steps: Iterable[Step]) -> tuple[Step, ...]:
        return tuple(change(f"{at}/{step.id}", step) for step in steps)

    def of(id: str, job: Job) -> Job:
        parts = tuple(
            part.model_copy(update={"steps": changed(f"{id}/{part.id}", part.steps)}) for part in job.parts
        )
        return job.model_copy(update={"parts": parts, "steps": changed(id, job.steps)})

    return replace(folder, jobs={id: of(id, job) for id, job in folder.jobs.items()})


# ------------------------------------------------------------ promises


def _promises(folder: ShopFolder, plan: Plan) -> Iterator[ShopChange]:
    for row in plan.jobs:
        if row.promise is not None and not row.delivered:
            later = folder.jobs[row.job].model_copy(update={"promise": row.promise + LATER_PROMISE})
            text = f"promising {row.title or row.job} a week later"
            yield ShopChange(text, replace(folder, jobs={**folder.jobs, row.job: later}), row.job)
