"""Decode the scheduler's answer as a plan: addresses, clock times, people, states."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from shopday.planning.encoding.encoded_problem import EncodedProblem, due
from shopday.planning.encoding.moisture_gates import gate
from shopday.planning.encoding.passes import Pass
from shopday.planning.encoding.work_intervals import open_intervals, spans_worked
from shopday.planning.plan import JobRow, Plan, PlannedStep, PlannedWait, State
from shopday.planning.solving.limits_reader import LimitsReader
from shopday.planning.solving.refusals import unplaced
from shopday.planning.step_names import place
from shopday.scheduler import Calendar, MinuteSpan, Placed, Result, Task, merge_spans
from shopday.scheduler import Delivery as ScheduledJob


def decode_plan(built: EncodedProblem, result: Result, bounded: bool = True) -> Plan:
    """The plan of a result, its steps in the order of their start. bounded: the result's bounds were worked out."""
    reader = _Reader(built, result)
    tasks = zip(built.passes, built.problem.tasks, reader.placed, strict=True)
    rows = [reader.step(p, task, placed) for p, task, placed in tasks if placed is not None]
    if not built.past_rows:
        built.past_rows.extend(
            reader.step(x.of, x.task, x.placed) for job in built.past.values() for x in job
        )
    bounded = (bounded or result.optimal) and not result.schedule.unplaced
    return Plan(
        now=built.zone.moment(built.problem.now),
        late=result.late,
        short=result.short,
        finish=result.finish,
        jobs=tuple(reader.jobs()),
        steps=tuple(sorted((*built.past_rows, *rows), key=lambda row: row.start)),
        unplaced=unplaced(built, result.schedule),
        late_bound=result.late_bound if bounded else None,
        short_bound=result.short_bound if bounded else None,
        finish_bound=result.finish_bound if bounded else None,
        order=tuple(built.passes[i].key for i in result.order),
        without_exact=result.without_exact,
    )


class _Reader:
    def __init__(self, built: EncodedProblem, result: Result) -> None:
        self.built, self.result = built, result
        self.placed = result.schedule.placed
        self.now = built.problem.now
        self.zone, self.end = built.zone, built.hours.end
        self.folder = built.folder
        self.limits = LimitsReader(built, self.placed, self.moment)
        self.places: dict[tuple[str, str | None], str] = {}

    def moment(self, minute: int) -> dt.datetime:
        """The clock time of a minute; minutes beyond the calendars become their end."""
        return self.zone.moment(min(minute, max(self.end, self.now)))

    # ------------------------------------------------------------ jobs

    def jobs(self) -> Iterator[JobRow]:
        """A row for every live job that has steps, in the order of the folder."""
        places: dict[str, list[Placed | None]] = {id: [] for id in self.built.jobs}
        for task, placed in zip(self.built.problem.tasks, self.placed, strict=True):
            places[self.built.jobs[task.job]].append(placed)
        numbers = {id: n for n, id in enumerate(self.built.jobs)}
        for id in self.folder.jobs:
            if id in self.built.past:
                yield self._job(id, [x.placed for x in self.built.past[id]], None, None)
            elif places.get(id):
                n = numbers[id]
                floor = self.result.floors[n] if n < len(self.result.floors) else None
                yield self._job(id, places[id], floor, self.built.problem.jobs[n])

    def _job(
        self, id: str, places: list[Placed | None], floor: int | None, asked: ScheduledJob | None
    ) -> JobRow:
        """The row of a job. asked: the scheduler's job (None: it is over)."""
        job = self.folder.jobs[id]
        promised = due(self.zone, job)
        known = [placed.complete for placed in places if placed is not None]
        delivery = max(known) if len(known) == len(places) else None
        late = None if delivery is None else max(0, delivery - promised) if promised is not None else 0
        return JobRow(
            job=id,
            title=job.title or id,
            customer=job.customer,
            promise=job.promise,
            delivery=None if delivery is None else self.moment(delivery),
            late_minutes=late,
            weight=job.weight,
            delivered=asked is None or not asked.counts,
            reserve_minutes=self._reserve(promised, asked),
            short_minutes=self._short(delivery, promised, asked),
            floor=None if floor is None else self.moment(floor),
        )

    def _reserve(self, promised: int | None, asked: ScheduledJob | None) -> int | None:
        if promised is None:
            return None
        return 0 if asked is None or asked.safe_by is None else promised - asked.safe_by

    def _short(self, delivery: int | None, promised: int | None, asked: ScheduledJob | None) -> int | None:
        if promised is None or delivery is None:
            return None
        return 0 if asked is None or asked.safe_by is None else max(0, delivery - asked.safe_by)

    # ------------------------------------------------------------ steps

    def step(self, p: Pass, task: Task, placed: Placed) -> PlannedStep:
        start = self._start(p, task, placed)
        window = min(self.limits.windows(task), default=None) if p.log is None else None
        return PlannedStep(
            job=p.ref.job,
            part=p.ref.part,
            step=p.step.id,
            pass_no=p.pass_no,
            passes=p.passes,
            name=p.step.label,
            state=self._state(p, task, placed),
            start=self.moment(start),
            end=self.moment(placed.end),
            complete=self.moment(placed.complete),
            stretches=self._stretches(p, task, placed),
            people=self._people(p, task, placed),
            stations=p.stations,
            gear=dict(p.step.gear),
            waits=self._waits(p, placed),
            missed=placed.missed or p.too_late,
            kind="away" if p.step.away else "arrives" if p.step.arrives else "work",
            work=p.base + (task.adds or 0 if placed.missed else 0),
            room=p.room,
            dusty=p.dusty and not p.step.absent,
            still_air=p.step.still_air and not p.step.absent,
            window_opened=None if window is None else self.moment(window[1]),
            window_ends=None if window is None else self.moment(window[0]),
            limits=self.limits.of(task, placed) if p.log is None else None,
            overdue=self._overdue(p, placed),
            put_down=p.put_down,
            skipped=p.skipped,
            unclocked=p.unclocked,
            moisture=gate(p.step, self.folder.shop, self.built.state.moisture.get(p.address, {}))
            if p.log is None
            else "",
            place=self._place(p),
        )

    def _place(self, p: Pass) -> str:
        """Where a pass belongs. All steps of a part share one text, as plans cross between processes."""
        key = p.ref.job, p.ref.part
        if key not in self.places:
            self.places[key] = place(self.folder, p.ref)
        return self.places[key]

    def _start(self, p: Pass, task: Task, placed: Placed) -> int:
        """When the pass was begun; if it was not, when it is planned to begin."""
        begun = p.log.started if p.log is not None and (p.going or p.put_down) else None
        return placed.start if begun is None else begun

    def _state(self, p: Pass, task: Task, placed: Placed) -> State:
        if p.step.absent:
            return self._absent_state(p, placed)
        if p.going or p.put_down:
            return State.UNDER_WAY
        if task.fixed is None:
            return State.PLANNED
        return State.WAITING if placed.complete > self.now else State.DONE

    def _absent_state(self, p: Pass, placed: Placed) -> State:
        if p.finished:
            return State.DONE
        begun = p.going or (p.step.arrives is not None and placed.start <= self.now)
        return State.WAITING if begun else State.PLANNED

    def _overdue(self, p: Pass, placed: Placed) -> bool:
        if not p.step.absent or p.finished:
            return False
        if p.due_on is not None:
            return p.due_on < self.built.zone.date(self.now)
        return p.going and self._expected_back(p) < placed.end

    def _expected_back(self, p: Pass) -> int:
        assert p.step.away is not None
        assert p.log is not None
        assert p.log.started is not None
        if p.expected is not None and (opens := self.built.hours.opening(p.expected)) is not None:
            return opens
        kind, amount = p.step.away.takes
        if kind == "minutes":
            return p.log.started + amount
        return self.built.hours.weekdays.after(p.log.started, amount)

    def _people(self, p: Pass, task: Task, placed: Placed) -> tuple[str, ...]:
        if p.step.absent:
            return ()
        logged = p.log.people if p.log is not None and p.finished else ()
        return logged or self.built.crew(task, placed.crew)

    # ------------------------------------------------------------ work

    def _stretches(self, p: Pass, task: Task, placed: Placed) -> tuple[tuple[dt.datetime, dt.datetime], ...]:
        if p.step.absent:
            return ()
        calendar = self._calendar(task, placed)
        if task.fixed is not None:
            spans = self._spells(p, task, placed) or ((placed.start, placed.end),)
        else:
            grown = task.adds or 0 if placed.missed else 0
            ahead = calendar.stretches(placed.start, task.work + grown)
            spans = merge_spans((*self._spells(p, task, placed), *ahead)) if task.work else ahead
        return tuple((self.moment(a), self.moment(b)) for a, b in spans)

    def _spells(self, p: Pass, task: Task, placed: Placed) -> tuple[MinuteSpan, ...]:
        """When the pass was worked on, by the hours of those who did it. If no spell is logged: between its start
        and end."""
        usual = self._calendar(task, placed)
        if p.log is not None and p.log.spells:
            return tuple(spans_worked(self.built.hours, p, self.now, usual))
        return open_intervals(usual, placed.start, placed.end) if p.finished else ()

    def _calendar(self, task: Task, placed: Placed) -> Calendar:
        return self.built.problem.calendars[task.crews[placed.crew].calendar if task.crews else 0]

    def _waits(self, p: Pass, placed: Placed) -> tuple[PlannedWait, ...]:
        waits, cursor = [], placed.end
        for n, wait in enumerate(p.waits):
            keeps = () if wait.informs else p.keeps(wait)
            waits.append(
                PlannedWait(
                    name=wait.name,
                    start=self.moment(cursor),
                    end=self.moment(placed.ends[n]),
                    keeps=keeps,
                    free=self.moment(placed.frees[n]) if keeps else None,
                    still_air=wait.still_air,
                    informs=wait.informs,
                    cures=wait.cures,
                )
            )
            if not wait.informs:
                cursor = placed.ends[n]
        return tuple(waits)
