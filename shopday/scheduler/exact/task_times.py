"""The times of a task in the exact model: its work on the working-time axes of its people, its phases on their
clocks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from shopday.scheduler.exact.clock_pieces import ClockPiece, clock_pieces
from shopday.scheduler.exact.encoding import Declined, Encoding, Literal, Time
from shopday.scheduler.exact.scope import Scope
from shopday.scheduler.exact.working_axis import Jumps
from shopday.scheduler.model.calendars import MinuteSpan
from shopday.scheduler.model.problem import COMPLETE, END, START, Lag

MOST_PIECES = 1500
"""A clock with more pieces than this is declined."""


@dataclass(frozen=True)
class Shift:
    """A person's work on a task, as positions on that person's axis. chosen: whether this crew does it."""

    person: int
    chosen: Literal
    start: Time
    end: Time


@dataclass
class TaskTimes:
    """The times of a task.

    ends:   of its phases.
    crews:  a literal for each crew.
    missed: a literal: its window is missed (None: it has none to miss).
    """

    start: Time
    end: Time
    complete: Time
    ends: list[Time] = field(default_factory=list)
    crews: list[Literal] = field(default_factory=list)
    shifts: list[Shift] = field(default_factory=list)
    missed: Literal = None

    def moment(self, lag: Lag) -> Time:
        named = {START: self.start, END: self.end, COMPLETE: self.complete}
        time = named[lag.milestone] if lag.milestone in named else self.ends[lag.milestone]
        return time.later(lag.offset)


@dataclass(frozen=True, slots=True)
class _Stint:
    """Work on a calendar: its first position, the position after its last, its start and end."""

    first: Time
    after: Time
    start: Time
    end: Time


class TimesModel:
    """Makes the times of tasks, without the ties between them."""

    def __init__(self, encoding: Encoding, scope: Scope) -> None:
        self.encoding, self.scope = encoding, scope
        self._pieces: dict[tuple[int, int, bool], list[ClockPiece]] = {}

    def given(self, i: int) -> TaskTimes:
        """The times of a task over or under way, which are constants."""
        placed, now = self.scope.schedule.placed[i], self.scope.now
        assert placed is not None
        start, end, complete, *ends = (
            Time.at(m - now) for m in (placed.start, placed.end, placed.complete, *placed.ends)
        )
        return TaskTimes(start, end, complete, ends)

    def staffed(self, i: int) -> TaskTimes:
        """The times of work, on the axis of each calendar of its crews."""
        task, encoding = self.scope.problem.tasks[i], self.encoding
        missed = encoding.literal() if task.adds is not None and any(w.refs for w in task.windows) else None
        calendars = list(dict.fromkeys(crew.calendar for crew in task.crews))
        stints = {c: found for c in calendars if (found := self._on(i, c, missed)) is not None}
        if not stints:
            raise Declined("a task with no place before the deliveries that count")
        times = self._one_of(i, stints)
        times.missed = missed
        self._add_phases(i, times, True)
        return times

    def starts_immediately(self, i: int, start: Time) -> TaskTimes:
        """The times of an absence that begins at `start`."""
        task = self.scope.problem.tasks[i]
        end = self._over(task.clock, task.length, start, False)
        if task.until is not None:
            end = self.encoding.latest([end, Time.at(task.until - self.scope.now)])
        times = TaskTimes(start, end, end)
        self._add_phases(i, times, False)
        return times

    # ------------------------------------------------------------ work

    def _on(self, i: int, calendar: int, missed: Literal) -> _Stint | None:
        """The work on a calendar; None if it has no place there."""
        task, scope, encoding = self.scope.problem.tasks[i], self.scope, self.encoding
        axis = scope.axis((calendar,))
        grown = task.work + (task.adds or 0 if missed is not None else 0)
        usual, other = self._ranges(i, calendar, task.work), self._ranges(i, calendar, grown)
        every = usual if missed is None else [*usual, *other]
        if not every:
            return None
        first = encoding.time(min(a for a, _ in every), max(b for _, b in every))
        encoding.within(first, usual, missed)
        after = first.later(task.work)
        if missed is not None:
            encoding.within(first, other, ~missed)
        if grown > task.work:
            after = encoding.time(first.low + task.work, first.high + grown)
            encoding.model.add(after.of == first.of + task.work + (grown - task.work) * missed)
        start = encoding.stepped(first, axis.minute(0), axis.jumps(lambda m: m, ends=False))
        if task.unbroken and grown == task.work:
            return _Stint(first, after, start, start.later(task.work))
        end = self._end(
            _Stint(first, after, start, start), axis.minute(0), axis.jumps(lambda m: m, ends=True)
        )
        return _Stint(first, after, start, end)

    def _ranges(self, i: int, calendar: int, work: int) -> list[list[int]]:
        """The positions at which this much work may begin and still be over in time."""
        axis = self.scope.axis((calendar,))
        latest = axis.position(self.scope.latest[i]) - work if work else axis.before[-1]
        found = axis.positions(self.scope.start_spans(i, calendar, work), self.scope.now)
        return [[a, min(b, latest)] for a, b in found if a <= latest]

    def _end(self, work: _Stint, zero: int, jumps: Jumps) -> Time:
        """When the work ends, in minutes or on another axis. Work of no length ends where it starts, even after a
        break."""
        if work.after.low > work.first.low:
            return self.encoding.stepped(work.after, zero, jumps)
        if work.after == work.first:
            return work.start
        model = self.encoding.model
        over = self.encoding.stepped(work.after, zero, jumps)
        end = self.encoding.time(min(work.start.low, over.low), max(work.start.high, over.high))
        nothing = self.encoding.literal()
        model.add(work.after.of == work.first.of).only_enforce_if(nothing)
        model.add(work.after.of > work.first.of).only_enforce_if(~nothing)
        model.add(end.of == work.start.of).only_enforce_if(nothing)
        model.add(end.of == over.of).only_enforce_if(~nothing)
        return end

    def _one_of(self, i: int, stints: dict[int, _Stint]) -> TaskTimes:
        """Exactly one crew does it; if there are several calendars, the times are those on the calendar of that
        crew."""
        task, encoding = self.scope.problem.tasks[i], self.encoding
        able = [crew.calendar in stints for crew in task.crews]
        literals = [(1 if sum(able) == 1 else encoding.literal()) if can else 0 for can in able]
        encoding.model.add_exactly_one(literals)
        start, end = (
            self._either(times) for times in zip(*((x.start, x.end) for x in stints.values()), strict=True)
        )
        shifts = []
        for literal, crew in zip(literals, task.crews, strict=True):
            if crew.calendar in stints:
                stint = stints[crew.calendar]
                if len(stints) > 1:
                    encoding.model.add(start.of == stint.start.of).only_enforce_if(literal)
                    encoding.model.add(end.of == stint.end.of).only_enforce_if(literal)
                shifts += [self._shift(person, literal, crew.calendar, stint) for person in crew.people]
        return TaskTimes(start, end, end, crews=literals, shifts=shifts)

    def _either(self, times: Sequence[Time]) -> Time:
        if len(times) == 1:
            return times[0]
        return self.encoding.time(min(time.low for time in times), max(time.high for time in times))

    def _shift(self, person: int, chosen: Literal, calendar: int, stint: _Stint) -> Shift:
        """The same work on the axis of a person, who may also be in when the crew is not."""
        crew, own = self.scope.axis((calendar,)), self.scope.axis_of[person]
        if crew.spans == own.spans:
            return Shift(person, chosen, stint.first, stint.after)
        zero = own.position(crew.minute(0))
        start = self.encoding.stepped(stint.first, zero, crew.jumps(own.position, ends=False))
        work = _Stint(stint.first, stint.after, start, start)
        return Shift(person, chosen, start, self._end(work, zero, crew.jumps(own.position, ends=True)))

    # ------------------------------------------------------------ phases

    def _add_phases(self, i: int, times: TaskTimes, staffed: bool) -> None:
        cursor = times.end
        for phase in self.scope.problem.tasks[i].phases:
            over = self._over(phase.clock, phase.takes, cursor, staffed and cursor is times.end)
            times.ends.append(over)
            cursor = cursor if phase.informational else over
        times.complete = cursor

    def _over(self, clock: int | None, takes: int, begin: Time, staffed: bool) -> Time:
        if clock is None:
            return begin.later(takes)
        pieces = self._pieces_of(clock, takes, begin, staffed)
        if len(pieces) > MOST_PIECES:
            raise Declined("a temperature that changes too often")
        return self.encoding.by_pieces(begin, pieces)

    def _pieces_of(self, clock: int, takes: int, begin: Time, staffed: bool) -> list[ClockPiece]:
        """The pieces of a clock. Work ends while somebody is in, so only those minutes are considered."""
        clocks, now = self.scope.problem.clocks, self.scope.now
        if not staffed:
            return clock_pieces(clocks[clock], takes, now, [(begin.low, begin.high + 1)])
        key = clock, takes, staffed
        if key not in self._pieces:
            every = {c.calendar for i in self.scope.free for c in self.scope.problem.tasks[i].crews}
            spans: list[MinuteSpan] = [(a, b + 1) for a, b in self.scope.axis(every).spans]
            self._pieces[key] = clock_pieces(clocks[clock], takes, now, spans)
        return self._pieces[key]
