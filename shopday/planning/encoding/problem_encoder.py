"""From a shop folder, what has happened and this minute to the scheduler's problem."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

from shopday.journal.state import Key, ShopState
from shopday.planning.encoding.absences import Absences, Clocks
from shopday.planning.encoding.actual_times import actual_minutes
from shopday.planning.encoding.finished_jobs import Past, finished_passes, over_by_job
from shopday.planning.encoding.horizon import LONGEST, days_ahead, first_minute
from shopday.planning.encoding.missed_windows import over_at, with_missed
from shopday.planning.encoding.open_hours import OpenHours, Zone
from shopday.planning.encoding.passes import Pass, passes_of
from shopday.planning.encoding.reserve import Left, Overrun, Promise, lateness, left_to_do, overrun, reserve
from shopday.planning.encoding.shop_temperature import DOUBLES_PER, RATED_AT, Reading, Warmth, warmth
from shopday.planning.encoding.work_intervals import minutes_worked
from shopday.planning.odds.distributions import Pert
from shopday.planning.plan import PlannedStep
from shopday.scheduler import (
    COMPLETE,
    END,
    Calendar,
    Crew,
    Delivery,
    Lag,
    Phase,
    Placed,
    Problem,
    Task,
    Window,
    least_stretch,
    start_hours,
)
from shopday.shop.folder import ShopFolder
from shopday.shop.models import Job as WrittenJob
from shopday.shop.models import Only, Wait
from shopday.shop.step_graph import HANDS_OFF, StepGraph, expand
from shopday.text.names import standing

LEAST_LEFT = 5
"""Minutes that a step under way takes at least from now."""


@dataclass(frozen=True)
class EncodedProblem:
    """A problem and what its indices mean.

    past:           per live job that is over, its passes: no part of the problem.
    reasons:        why a task is hopeless, in words.
    contradictions: which windows leave a task no place, in words; None: no proof. Filled when asked.
    past_rows:      what a plan says of the past. Filled when asked.
    beginnings:     minutes at which hours let work begin, by calendar, warmth and stretch. Filled when asked.
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
        """The minutes at which hours and temperature let a task begin with one of its crews."""
        who = task.crews[crew]
        key = who.calendar, task.starts_in, least_stretch(task, task.work)
        if key not in self.beginnings:
            self.beginnings[key] = start_hours(self.problem, task, who)
        return self.beginnings[key]

    def crew(self, task: Task, crew: int) -> tuple[str, ...]:
        """Who a crew of a task is."""
        return tuple(self.people[r] for r in task.crews[crew].people) if task.crews else ()

    @property
    def could_be_longer(self) -> bool:
        return self.days < LONGEST


def due(zone: Zone, job: WrittenJob) -> int | None:
    """The minute by which it is on time: the end of the promised day."""
    return None if job.promise is None else zone.minute(job.promise + dt.timedelta(days=1))


def _unread(target: str) -> str:
    """Why a step that comes after one that could not be read has no place."""
    return (
        f"it comes after {target}, and the file of the job {target.split('/')[0]} has faults; mend that first"
    )


def encode_problem(folder: ShopFolder, state: ShopState, now: int, longer: int = 1) -> EncodedProblem:
    """The problem of this minute. `longer` stretches the calendars for plans that ran over their end."""
    return _Builder(folder, state, now, longer).built()


class _Builder:
    def __init__(self, folder: ShopFolder, state: ShopState, now: int, longer: int) -> None:
        self.folder, self.shop, self.state, self.now = folder, folder.shop, state, now
        self.zone = Zone(self.shop.timezone)
        self.expansion = expand(folder)
        self.unread = {problem.address: _unread(problem.target) for problem in self.expansion.problems}
        self.every = every = passes_of(folder, self.expansion, state)
        self.people = tuple(person.id for person in self.shop.people)
        today = self.zone.date(now)
        live = {id: job for id, job in folder.jobs.items() if job.status == "live"}
        self.days = min(LONGEST, longer * days_ahead(self.shop, live.values(), every, today))
        first = self.zone.date(first_minute(every, now))
        self.hours = OpenHours(
            self.shop, self.zone, first, today + dt.timedelta(days=self.days), state.closed
        )
        self.clocks = Clocks()
        self.absences = Absences(self.hours, self.clocks, now)
        self.reasons: dict[int, str] = {}
        self.crews: dict[tuple[int, bool, Only | None], tuple[Crew, ...]] = {}
        counts = [(s.id, s.count) for s in self.shop.stations] + [(g.id, g.count) for g in self.shop.gear]
        self.capacities = (1,) * len(self.people) + tuple(count for _, count in counts)
        self.resources = (*self.people, *(id for id, _ in counts))
        self.things = {id: len(self.people) + n for n, (id, _) in enumerate(counts)}
        self.rooms: dict[str, int] = {}
        every = with_missed(every, self.expansion.before, self._over_at, self._begun)
        self.past = over_by_job(every, self.expansion.before, lambda p: p.finished, self._past)
        self.passes = tuple(p for p in every if p.ref.job not in self.past)
        self.index = {p.key: i for i, p in enumerate(self.passes)}
        self.last = {p.address: i for i, p in enumerate(self.passes)}
        self.skipped: dict[int, tuple[Lag, ...]] = {}
        self.jobs = tuple(id for id in live if id not in self.past)
        self.job_index = {id: n for n, id in enumerate(self.jobs)}

    def built(self) -> EncodedProblem:
        release_calendar = self.hours.open
        tasks = tuple(self._task(i, p) for i, p in enumerate(self.passes))
        problem = Problem(
            now=self.now,
            jobs=self._jobs(tasks),
            tasks=tasks,
            capacities=self.capacities,
            calendars=tuple(self.hours.calendars),
            clocks=tuple(self.clocks.made),
            release_calendar=release_calendar,
            dust_minutes=self.shop.rules.dust_settles,
            infeasible=dict(self.reasons),
        )
        return EncodedProblem(
            problem, self.passes, self.jobs, self.people, self.resources, self.hours, self.zone,
            self.warmth, self.expansion, self.folder, self.state, self.days, self.past, self.reasons,
        )  # fmt: skip

    @cached_property
    def warmth(self) -> Warmth | None:
        readings = [Reading(minute, celsius) for minute, celsius in self.state.readings]
        return warmth(self.shop.temperature, self.hours.daytime, readings)

    # ------------------------------------------------------------ jobs

    def _jobs(self, tasks: tuple[Task, ...]) -> tuple[Delivery, ...]:
        mine: list[list[Task]] = [[] for _ in self.jobs]
        for task in tasks:
            mine[task.job].append(task)
        jobs = map(self._job, self.jobs, mine)
        if not self.shop.rules.reserve:
            return tuple(jobs)
        left = left_to_do(self.passes, tasks, self._lateness(), self.now)
        runs = self._overrun()
        return tuple(self._with_reserve(n, job, left, runs) for n, job in enumerate(jobs))

    def _job(self, id: str, mine: list[Task]) -> Delivery:
        counts = not all(task.fixed is not None and self._stood(task).complete <= self.now for task in mine)
        return Delivery(self.folder.jobs[id].weight, self._due(id), counts)

    def _due(self, id: str) -> int | None:
        return due(self.zone, self.folder.jobs[id])

    def _with_reserve(self, n: int, job: Delivery, left: Mapping[int, Left], runs: Overrun) -> Delivery:
        if job.due is None:
            return job
        makers = [person for person in self.shop.people if person.role == "maker"]
        calendars = [self.hours.calendars[self.hours.person(maker)] for maker in makers]
        opened = sum(c.worked(job.due) - c.worked(self.now) for c in calendars)
        promise = Promise(n, job.due - self.now, opened, len(makers))
        return replace(job, safe_by=job.due - (reserve(promise, left, runs) if job.counts else 0))

    def _overrun(self) -> Overrun:
        """What work of this shop takes as a multiple of its estimate, by the live jobs."""
        taken = actual_minutes((p for p in self.every if p.finished and p.base), self.hours)
        return overrun((p.base, taken[p.key]) for p in self.every if taken.get(p.key))

    def _lateness(self) -> dict[int, Pert]:
        """Per pass that is still away or to arrive, how much later than planned it may be, in minutes."""
        absent = (i for i, p in enumerate(self.passes) if p.step.absent and not p.finished)
        return {i: lateness(self.passes[i]) for i in absent}

    # ------------------------------------------------------------ what is over

    def _past(self, p: Pass) -> Past | None:
        """A pass that is over with all its waits and its dust, and somebody was in since to take off what
        was kept; None while something of it still goes on."""
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
        clock = self._cure(p) if self.warmth is not None else None
        return over_at(p, when, None if clock is None else self.clocks.made[clock])

    def _begun(self, p: Pass) -> int | None:
        """When it was begun; where only its end was logged, as if the work of a missed window had just fitted in."""
        if p.log is None or p.log.started is not None or p.log.finished is None or p.step.absent:
            return p.log.started if p.log is not None else None
        return self._just_fitted(p.log.finished, p.base + (p.missed.adds if p.missed else 0), self._crews(p))

    def _just_fitted(self, end: int, work: int, crews: tuple[Crew, ...]) -> int:
        return self.hours.calendars[crews[0].calendar].latest_start(end, work) if crews else end - work

    # ------------------------------------------------------------ tasks

    def _task(self, i: int, p: Pass) -> Task:
        lags, windows = self._before(i, p)
        job = self.job_index[p.ref.job]
        if p.step.absent:
            return self._absent(i, p, job, lags, windows)
        task = self._work(p, job, lags)
        if p.skipped:
            self.skipped[i] = lags
        if p.finished:
            return task
        if p.going or p.put_down:
            return self._begun_task(p, task)
        return replace(
            task,
            windows=windows,
            adds=p.missed.adds if p.missed else None,
            release=self._release(p),
            at=self._appointment(p),
            unbroken=p.step.one_sitting,
            stretch=min(self.shop.rules.shortest_stretch, p.base),
            starts_in=self._warm_enough(p),
        )

    def _work(self, p: Pass, job: int, lags: tuple[Lag, ...]) -> Task:
        """Work in the shop, with all that holds of it whether it is done or not."""
        crews = self._crews(p)
        return Task(
            job=job,
            work=p.base,
            crews=crews,
            uses=self._uses(p),
            phases=tuple(self._phase(p, wait) for wait in p.waits),
            lags=lags,
            room=self.rooms.setdefault(p.room, len(self.rooms)),
            dusty=p.dusty,
            needs_still_air=p.step.still_air,
            fixed=self._fixed(p, crews) if p.finished else None,
        )

    def _begun_task(self, p: Pass, task: Task) -> Task:
        """What was begun: only what is left of it, for the same people, whatever was asked of its start. In their hands
        it goes on at once; what was put down is planned like other work."""
        crews = self._same_people(p, task.crews)
        usual = self.hours.calendars[crews[0].calendar if crews else 0]
        left = max(LEAST_LEFT, p.base - minutes_worked(self.hours, p, self.now, usual))
        task = replace(task, lags=(), crews=crews, work=left, release=self.now)
        if p.going:
            return replace(task, going=True)
        return replace(task, unbroken=p.step.one_sitting, stretch=min(self.shop.rules.shortest_stretch, left))

    def _same_people(self, p: Pass, crews: tuple[Crew, ...]) -> tuple[Crew, ...]:
        """The people logged, as far as they are still of the shop; else every crew they would be part of."""
        logged = p.log.people if p.log is not None else ()
        known = tuple(person for person in logged if person in self.people)
        if len(known) == p.step.hands:
            return (self._crew(known, p),)
        wanted = {self.people.index(person) for person in known}
        return tuple(crew for crew in crews if wanted <= set(crew.people)) or crews

    def _fixed(self, p: Pass, crews: tuple[Crew, ...]) -> tuple[int, int]:
        """Logged start and end; a start nobody logged is taken as if the work had just fitted in."""
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

    # ------------------------------------------------------------ what comes before

    def _before(self, i: int, p: Pass) -> tuple[tuple[Lag, ...], tuple[Window, ...]]:
        if p.pass_no > 1:
            before_it = (Lag(self.index[p.address, p.pass_no - 1]),)
            within = (Window(before_it, p.within),) if p.within is not None else ()
            return self._with_skipped(before_it), within
        before = self.expansion.before[p.address]
        missing = [
            b.address for b in before if b.address not in self.last and not self._was_delivered(b.address)
        ]
        if missing and p.log is None:
            self.reasons[i] = self._not_live(missing[0])
        elif p.address in self.unread and p.log is None:
            self.reasons[i] = self.unread[p.address]
        known = [b for b in before if b.address in self.last]
        lags = tuple(Lag(self.last[b.address], self._milestone(b.address, b.when)) for b in known)
        windows = [
            Window((lag,), b.within) for lag, b in zip(lags, known, strict=True) if b.within is not None
        ]
        if p.within is not None and lags:
            windows.append(Window(lags, p.within))
        return self._with_skipped(lags), tuple(windows)

    def _with_skipped(self, lags: tuple[Lag, ...]) -> tuple[Lag, ...]:
        """What comes after a step that was not needed waits for what that had waited for."""
        return tuple(
            dict.fromkeys((*lags, *(more for lag in lags for more in self.skipped.get(lag.task, ()))))
        )

    def _was_delivered(self, address: str) -> bool:
        return self.folder.jobs[address.split("/")[0]].status == "delivered"

    def _not_live(self, address: str) -> str:
        job = address.split("/")[0]
        status = self.folder.jobs[job].status
        return (
            f"it comes after {address}, and the job {job} is {standing(status)}; "
            'set its `status` to "live" or change `after`'
        )

    def _milestone(self, address: str, when: str | None) -> int:
        """A moment of its last pass; where that was not needed, its end stands for the waits it does not have."""
        if when is None:
            return COMPLETE
        p = self.passes[self.last[address]]
        return END if when == HANDS_OFF or p.skipped else [wait.name for wait in p.waits].index(when)

    def _release(self, p: Pass) -> int:
        begin = self.folder.jobs[p.ref.job].begin
        return max(self.now, self.zone.minute(begin)) if begin else self.now

    def _appointment(self, p: Pass) -> int | None:
        """The only start allowed: one fixed by hand, as long as it is still to come, else the one written."""
        pin = self.state.pins.get(p.key)
        if pin is not None and pin >= self.now:
            return pin
        return self.zone.of(p.step.on) if p.step.on is not None and p.pass_no == 1 else None

    # ------------------------------------------------------------ who, what, where

    def _crews(self, p: Pass) -> tuple[Crew, ...]:
        key = (p.step.hands, p.noisy, p.step.only)
        if key not in self.crews:
            self.crews[key] = tuple(self._crew(people, p) for people in self._teams(p.step.hands))
        return self.crews[key]

    def _teams(self, hands: int) -> Iterator[tuple[str, ...]]:
        """Makers in the order written; with two hands each maker with everybody else, no two twice."""
        makers = [person.id for person in self.shop.people if person.role == "maker"]
        if hands == 1:
            yield from ((maker,) for maker in makers)
            return
        seen: set[frozenset[str]] = set()
        for maker in makers:
            for other in self.people:
                if other != maker and frozenset((maker, other)) not in seen:
                    seen.add(frozenset((maker, other)))
                    yield maker, other

    def _crew(self, people: tuple[str, ...], p: Pass) -> Crew:
        calendar = self.hours.crew(people, p.noisy, p.step.only)
        return Crew(tuple(self.people.index(person) for person in people), calendar)

    def _uses(self, p: Pass) -> tuple[tuple[int, int], ...]:
        stations = [(self.things[id], 1) for id in p.stations]
        return (*stations, *((self.things[id], count) for id, count in p.step.gear.items()))

    def _phase(self, p: Pass, wait: Wait) -> Phase:
        return Phase(
            takes=wait.takes,
            clock=self._cure(p) if wait.cures and self.warmth is not None else None,
            keeps=() if wait.informs else tuple(self.things[id] for id in p.keeps(wait)),
            needs_still_air=wait.still_air and not wait.informs,
            informational=wait.informs,
        )

    def _cure(self, p: Pass) -> int:
        shop, material = self.warmth, p.material
        assert shop is not None
        rated = (
            None
            if material is None
            else (material.rated_at, material.doubles_per, material.activation_kj, material.highest)
        )
        return self.clocks.of(
            f"cure {rated or (RATED_AT, DOUBLES_PER, None, None)}", lambda: shop.clock(material)
        )

    def _warm_enough(self, p: Pass) -> int | None:
        """Index of the calendar of minutes warm enough for the material, None for any minute."""
        lowest, shop = p.material.lowest if p.material else None, self.warmth
        if lowest is None or shop is None or all(d is None or d >= lowest for d in shop.degrees):
            return None
        return self.hours.add(("warm", lowest), lambda: shop.warm(lowest))
