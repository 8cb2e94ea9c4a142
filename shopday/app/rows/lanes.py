"""Lanes of steps: by job, station or person."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from shopday.planning.questions.loads import tied_up_spans, work_spans

if TYPE_CHECKING:
    from shopday.planning.plan import JobRow, Plan, PlannedStep
    from shopday.shop.models import Gear, Shop, Station

LaneSpan = tuple[dt.datetime, dt.datetime]
LONGEST_HIDDEN_PAUSE = dt.timedelta(minutes=90)
"""Pauses up to this length are not drawn."""


@dataclass(eq=False)
class LaneStep:
    """A step on a lane.

    solid: when it is worked on.
    light: its waits that are drawn, each with its name. At least one of the two is not empty.
    """

    step: PlannedStep
    solid: tuple[LaneSpan, ...]
    light: tuple[tuple[LaneSpan, str], ...]
    start: dt.datetime = field(init=False)
    end: dt.datetime = field(init=False)

    def __post_init__(self) -> None:
        spans = [*self.solid, *(span for span, _ in self.light)]
        self.start, self.end = min(start for start, _ in spans), max(end for _, end in spans)


@dataclass
class Lane:
    """A lane; its steps are in the order of their starts. row: the job, if it is the lane of one."""

    key: str
    label: str
    row: JobRow | None = None
    steps: list[LaneStep] = field(default_factory=list)

    def add(self, step: PlannedStep, light: Iterable[tuple[LaneSpan, str]]) -> None:
        solid, waits = tuple(_joined(work_spans(step))), tuple(light)
        if solid or waits:
            self.steps.append(LaneStep(step, solid, waits))


def by_job(plan: Plan, shop: Shop) -> list[Lane]:
    lanes = {row.job: Lane(row.job, row.title or row.job, row) for row in plan.jobs}
    for step in plan.steps:
        waits = [((wait.start, wait.end), wait.name) for wait in step.waits if not wait.informs]
        away = [] if step.kind == "work" else [((step.start, step.complete), step.name)]
        lanes.setdefault(step.job, Lane(step.job, step.job)).add(step, away + waits)
    return _sorted(lanes)


def by_station(plan: Plan, shop: Shop) -> list[Lane]:
    things: list[Station | Gear] = [*shop.stations, *shop.gear]
    lanes = {thing.id: Lane(thing.id, _counted(thing)) for thing in things}
    for step in plan.steps:
        for id in dict.fromkeys((*step.stations, *step.gear)):
            kept = ((span, step.name) for span in tied_up_spans(step, id))
            lanes.setdefault(id, Lane(id, id)).add(step, kept)
    return _sorted(lanes)


def by_person(plan: Plan, shop: Shop) -> list[Lane]:
    lanes = {person.id: Lane(person.id, person.label) for person in shop.people}
    for step in plan.steps:
        for id in step.people:
            lanes.setdefault(id, Lane(id, id)).add(step, ())
    return _sorted(lanes)


LANES_BY: dict[str, Callable[[Plan, Shop], list[Lane]]] = {
    "job": by_job,
    "station": by_station,
    "person": by_person,
}


def _sorted(lanes: dict[str, Lane]) -> list[Lane]:
    for lane in lanes.values():
        lane.steps.sort(key=lambda found: found.start)
    return list(lanes.values())


def _counted(thing: Station | Gear) -> str:
    name = thing.name or thing.id
    return f"{name} ({thing.count})" if thing.count != 1 else name


def _joined(spans: list[LaneSpan]) -> list[LaneSpan]:
    """Join work before and after a break."""
    joined: list[LaneSpan] = []
    for start, end in spans:
        if joined and start - joined[-1][1] <= LONGEST_HIDDEN_PAUSE:
            joined[-1] = joined[-1][0], end
        else:
            joined.append((start, end))
    return joined
