"""Encode a shop folder and its state at one minute as the scheduler's problem."""

from __future__ import annotations

import datetime as dt

from shopday.journal.state import ShopState
from shopday.planning.encoding.absences import Absences, Clocks
from shopday.planning.encoding.encoded_problem import EncodedProblem
from shopday.planning.encoding.finished_jobs import Past, finished_passes, over_by_job
from shopday.planning.encoding.horizon import MOST_DAYS_AHEAD, days_ahead, first_minute
from shopday.planning.encoding.job_deliveries import JobDeliveries
from shopday.planning.encoding.missed_windows import over_at, with_missed
from shopday.planning.encoding.moisture_gates import gate
from shopday.planning.encoding.open_hours import OpenHours, Zone
from shopday.planning.encoding.passes import Pass, passes_of
from shopday.planning.encoding.predecessors import Predecessors
from shopday.planning.encoding.task_needs import TaskNeeds
from shopday.planning.encoding.tested_waits import with_tested
from shopday.planning.encoding.work_intervals import minutes_worked
from shopday.scheduler import (
    Crew,
    Lag,
    Placed,
    Problem,
    Task,
    Window,
)
from shopday.shop.folder import ShopFolder
from shopday.shop.step_graph import expand

LEAST_LEFT = 5
"""Minutes that a step under way still takes at least."""


def encode_problem(folder: ShopFolder, state: ShopState, now: int, longer: int = 1) -> EncodedProblem:
    """Return the problem at minute `now`. longer: how many times farther the calendars reach, for plans that ran
    over their end."""
    return _ProblemEncoder(folder, state, now, longer).built()


class _ProblemEncoder:
    def __init__(self, folder: ShopFolder, state: ShopState, now: int, longer: int) -> None:
        self.folder, self.shop, self.state, self.now = folder, folder.shop, state, now
        self.zone = Zone(self.shop.timezone)
        self.expansion = expand(folder)
        self.every = every = passes_of(folder, self.expansion, state)
        today = self.zone.date(now)
        live = {id: job for id, job in folder.jobs.items() if job.status == "live"}
        self.days = min(MOST_DAYS_AHEAD, longer * days_ahead(self.shop, live.values(), every, today))
        first = self.zone.date(first_minute(every, now))
        self.hours = OpenHours(
            self.shop, self.zone, first, today + dt.timedelta(days=self.days), state.closed
        )
        self.clocks = Clocks()
        self.absences = Absences(self.hours, self.clocks, now)
        self.reasons: dict[int, str] = {}
        self.needs = TaskNeeds(self.shop, state, self.hours, self.clocks)
        every = with_tested(every, state.tested, self._over_at)
        every = with_missed(every, self.expansion.before, self._over_at, self._begun)
        self.past = over_by_job(every, self.expansion.before, lambda p: p.finished, self._past)
        self.passes = tuple(p for p in every if p.ref.job not in self.past)
        self.predecessors = Predecessors(folder, self.expansion, self.passes, self.reasons)
        self.jobs = tuple(id for id in live if id not in self.past)
        self.job_index = {id: n for n, id in enumerate(self.jobs)}

    def built(self) -> EncodedProblem:
        release_calendar = self.hours.open
        tasks = tuple(self._task(i, p) for i, p in enumerate(self.passes))
        deliveries = JobDeliveries(self.folder, self.hours, self.zone, self.now, self._stood, self.every)
        problem = Problem(
            now=self.now,
            jobs=deliveries.of(self.jobs, self.passes, tasks),
            tasks=tasks,
            capacities=self.needs.capacities,
            calendars=tuple(self.hours.calendars),
            clocks=tuple(self.clocks.made),
            release_calendar=release_calendar,
            dust_minutes=self.shop.rules.dust_settles,
            infeasible=dict(self.reasons),
        )
        return EncodedProblem(
            problem, self.passes, self.jobs, self.needs.people, self.needs.resources, self.hours, self.zone,
            self.needs.warmth, self.expansion, self.folder, self.state, self.days, self.past, self.reasons,
        )  # fmt: skip

    # ------------------------------------------------------------ what is over

    def _past(self, p: Pass) -> Past | None:
        """A finished pass whose waits and dust are over too, once somebody was in to free what it kept. None while
        any of this still goes on."""
        if not p.finished:
            return None
        task = self._outside(p, 0, (), ()) if p.step.absent else self._work(p, 0, ())
        assert task is not None
        placed = self._stood(task)
        settled = placed.end + (self.shop.rules.dust_settles if p.dusty else 0)
        seen = self.hours.calendars[self.hours.open].open_from(max(settled, *placed.ends, placed.complete))
        return Past(p, task, placed) if seen is not None and seen <= self.now else None

    def _stood(self, task: Task) -> Placed:
        return finished_passes(task, self.clocks.made, self.hours.calendars[self.hours.open])

    def _over_at(self, p: Pass, when: str | None) -> int:
        clock = self.needs.cure(p) if self.needs.warmth is not None else None
        return over_at(p, when, None if clock is None else self.clocks.made[clock])

    def _begun(self, p: Pass) -> int | None:
        """When a pass was begun. If only its end is logged: the start that just leaves time for the work of a
        missed window."""
        if p.log is None or p.log.started is not None or p.log.finished is None or p.step.absent:
            return p.log.started if p.log is not None else None
        return self._just_fitted(
            p.log.finished, p.base + (p.missed.adds if p.missed else 0), self.needs.crews(p)
        )

    def _just_fitted(self, end: int, work: int, crews: tuple[Crew, ...]) -> int:
        return self.hours.calendars[crews[0].calendar].latest_start(end, work) if crews else end - work

    # ------------------------------------------------------------ tasks

    def _task(self, i: int, p: Pass) -> Task:
        lags, windows = self.predecessors.before(i, p)
        job = self.job_index[p.ref.job]
        if p.step.absent:
            return self._absent(i, p, job, lags, windows)
        task = self._work(p, job, lags)
        if p.skipped:
            self.predecessors.skipped[i] = lags
        if p.finished:
            return task
        if p.going or p.put_down:
            return self._begun_task(p, task)
        return task._replace(
            windows=windows,
            adds=p.missed.adds if p.missed else None,
            release=self._release(p),
            at=self._appointment(p),
            unbroken=p.step.one_sitting,
            stretch=min(self.shop.rules.shortest_stretch, p.base),
            starts_in=self.needs.warm_enough(p),
        )

    def _work(self, p: Pass, job: int, lags: tuple[Lag, ...]) -> Task:
        """The task of work in the shop, with what holds whether it is done or not."""
        crews = self.needs.crews(p)
        return Task(
            job=job,
            work=p.base,
            crews=crews,
            uses=self.needs.uses(p),
            phases=tuple(self.needs.phase(p, wait) for wait in p.waits),
            lags=lags,
            room=self.needs.room(p),
            dusty=p.dusty,
            needs_still_air=p.step.still_air,
            fixed=self._fixed(p, crews) if p.finished else None,
        )

    def _begun_task(self, p: Pass, task: Task) -> Task:
        """A task that was begun: the work left, for the same people, without the conditions on its start. Work in
        hand goes on at once; paused work is planned like other work."""
        crews = self.needs.same_people(p, task.crews)
        usual = self.hours.calendars[crews[0].calendar if crews else 0]
        left = max(LEAST_LEFT, p.base - minutes_worked(self.hours, p, self.now, usual))
        task = task._replace(lags=(), crews=crews, work=left, release=self.now)
        if p.going:
            return task._replace(going=True)
        return task._replace(unbroken=p.step.one_sitting, stretch=min(self.shop.rules.shortest_stretch, left))

    def _fixed(self, p: Pass, crews: tuple[Crew, ...]) -> tuple[int, int]:
        """The logged start and end. A start that was not logged is the one that just leaves time for the work."""
        assert p.log is not None
        end = p.log.finished or 0
        if p.skipped:
            return end, end
        start = p.log.started
        if start is None:
            start = self._just_fitted(end, p.base, crews)
        return min(start, end), end

    def _absent(self, i: int, p: Pass, job: int, lags: tuple[Lag, ...], windows: tuple[Window, ...]) -> Task:
        task = self._outside(p, job, lags, windows)
        if task is None:
            self.reasons[i] = (
                "the shop is not open on any day on which it could arrive; write [hours] in shop.toml"
            )
        return task or Task(job, starts_immediately=True, lags=lags)

    def _outside(self, p: Pass, job: int, lags: tuple[Lag, ...], windows: tuple[Window, ...]) -> Task | None:
        return self.absences.task(p, job, lags, windows, self._release(p), self._appointment(p))

    def _release(self, p: Pass) -> int:
        begin = self.folder.jobs[p.ref.job].begin
        earliest = max(self.now, self.zone.minute(begin)) if begin else self.now
        return max(earliest, self._dry(p)) if p.pass_no == 1 else earliest

    def _dry(self, p: Pass) -> int:
        """Now; if the wood is too damp or too dry, the opening of the next day, when it can be measured again."""
        if gate(p.step, self.shop, self.state.moisture.get(p.address, {})) != "wrong":
            return self.now
        return self.hours.opening(self.zone.date(self.now) + dt.timedelta(days=1)) or self.now

    def _appointment(self, p: Pass) -> int | None:
        """The only start allowed: the pinned one if it is still to come, else the one written."""
        pin = self.state.pins.get(p.key)
        if pin is not None and pin >= self.now:
            return pin
        return self.zone.of(p.step.on) if p.step.on is not None and p.pass_no == 1 else None
