"""EncodedProblem: the scheduler's problem at one minute, and what its indices mean in the shop."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from functools import cached_property

from shopday.journal.state import Key, ShopState
from shopday.planning.encoding.finished_jobs import Past
from shopday.planning.encoding.horizon import MOST_DAYS_AHEAD
from shopday.planning.encoding.open_hours import OpenHours, Zone
from shopday.planning.encoding.passes import Pass
from shopday.planning.encoding.shop_temperature import Warmth
from shopday.planning.plan import PlannedStep
from shopday.scheduler import Calendar, Problem, Task, least_stretch, start_hours
from shopday.shop.folder import ShopFolder
from shopday.shop.models import Job as WrittenJob
from shopday.shop.step_graph import StepGraph


@dataclass(frozen=True)
class EncodedProblem:
    """A problem and what its indices mean.

    past:           passes of live jobs that are over, by job; they are not part of the problem.
    reasons:        why a task has no place, in words, by its index.
    contradictions: which windows leave a task no place, in words (None: not proven). Filled on demand.
    past_rows:      the plan's rows for `past`. Filled on demand.
    beginnings:     minutes at which work may begin, by calendar, temperature calendar and stretch. Filled on
                    demand.
    """

    problem: Problem
    passes: tuple[Pass, ...]
    jobs: tuple[str, ...]
    people: tuple[str, ...]
    resources: tuple[str, ...]
    hours: OpenHours
    zone: Zone
    warmth: Warmth | None
    expansion: StepGraph
    folder: ShopFolder
    state: ShopState
    days: int
    past: dict[str, list[Past]]
    reasons: dict[int, str] = field(default_factory=dict)
    contradictions: dict[int, str | None] = field(default_factory=dict, compare=False, repr=False)
    past_rows: list[PlannedStep] = field(default_factory=list, compare=False, repr=False)
    beginnings: dict[tuple[int, int | None, int], Calendar] = field(
        default_factory=dict, compare=False, repr=False
    )

    @cached_property
    def index(self) -> dict[Key, int]:
        return {p.key: i for i, p in enumerate(self.passes)}

    def start_hours(self, task: Task, crew: int) -> Calendar:
        """The minutes at which hours and temperature let a task begin with this crew."""
        who = task.crews[crew]
        key = who.calendar, task.starts_in, least_stretch(task, task.work)
        if key not in self.beginnings:
            self.beginnings[key] = start_hours(self.problem, task, who)
        return self.beginnings[key]

    def crew(self, task: Task, crew: int) -> tuple[str, ...]:
        """The ids of the people in a crew of a task."""
        return tuple(self.people[r] for r in task.crews[crew].people) if task.crews else ()

    @property
    def could_be_longer(self) -> bool:
        return self.days < MOST_DAYS_AHEAD


def due(zone: Zone, job: WrittenJob) -> int | None:
    """The last minute at which a job is on time: the end of the promised day. None if it has no promise."""
    return None if job.promise is None else zone.minute(job.promise + dt.timedelta(days=1))
