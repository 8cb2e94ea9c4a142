"""Machine relaxation: each person, and each resource of capacity one, as a machine that does one task at a time.

All that is left of the shop are the minutes that a machine has and the work that only it can do; interrupting work
is free. What such a machine needs for some of its work, a schedule of the whole shop needs too.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from shopday.scheduler.bounds.closed_windows import least_work
from shopday.scheduler.model.calendars import FOREVER, Calendar, MinuteSpan, merge_spans, spans_overlap
from shopday.scheduler.placing.builder import Builder
from shopday.scheduler.placing.prepared_task import PreparedTask


class Supply:
    """Minutes of work that a machine can give, as a function of time. A group gives several minutes per minute."""

    def __init__(self, spans: Iterable[MinuteSpan]) -> None:
        changes: dict[int, int] = defaultdict(int)
        for a, b in spans:
            changes[a] += 1
            changes[b] -= 1
        self.edges = sorted(changes)
        self.rates: list[int] = []
        self.given = [0]
        rate = 0
        for a, b in pairwise([*self.edges, FOREVER]):
            rate += changes[a]
            self.rates.append(rate)
            self.given.append(self.given[-1] + rate * (b - a))

    def at(self, minute: int) -> int:
        """The work that can be given before a minute."""
        k = bisect_right(self.edges, minute) - 1
        return self.given[k] + self.rates[k] * (minute - self.edges[k]) if k >= 0 else 0

    def when(self, work: int) -> int:
        """The first minute before which this much work can be given."""
        k = bisect_left(self.given, work, 1) - 1
        if k >= len(self.edges) or not self.rates[k]:
            return FOREVER
        return self.edges[k] - (self.given[k] - work) // self.rates[k]


@dataclass
class Machine:
    """The work that only this machine can do of tasks not yet placed.

    needs: by task, the least minutes of its work.
    """

    supply: Supply
    needs: dict[int, int] = field(default_factory=dict)

    def done(self, tasks: Iterable[int], heads: Sequence[int]) -> int:
        """The first minute at which these tasks can all be done, none begun before its head (Jackson 1955)."""
        clock = 0
        for head, need in sorted((heads[i], self.needs[i]) for i in tasks):
            clock = max(clock, self.supply.at(head)) + need
        return self.supply.when(clock)


def machines(builder: Builder, open_tasks: Sequence[int]) -> list[Machine]:
    """The machines of a shop that several of these tasks need."""
    prepared = builder.compiled.prepared
    groups: dict[frozenset[int], None] = {}
    for i in open_tasks:
        for one in prepared[i].exclusive:
            groups[frozenset((one,))] = None
        crews = [set(staff.people) for staff in prepared[i].staff]
        if crews:
            for person in crews[0].intersection(*crews):
                groups[frozenset((person,))] = None
            groups[frozenset(crews[0].union(*crews) - crews[0].intersection(*crews))] = None
    out = []
    work = least_work(builder, open_tasks)
    for group in groups:
        needs = {i: need for i in open_tasks if (need := work[i] * _hands(prepared[i], group))}
        if len(needs) > 1:
            out.append(Machine(_supply(builder, group, needs), needs))
    return out


def _hands(prepared: PreparedTask, group: frozenset[int]) -> int:
    """How many members of the group a task needs, whichever crew does it."""
    if not prepared.staff:
        return 0
    fewest = min(len(group.intersection(staff.people)) for staff in prepared.staff)
    return max(fewest, len(group.intersection(prepared.exclusive)))


def _supply(builder: Builder, group: frozenset[int], needs: Iterable[int]) -> Supply:
    """The minutes at which members of the group can work on these tasks, less those that are taken already."""
    prepared, start = builder.compiled.prepared, builder.start
    calendars: dict[int, dict[int, Calendar]] = {member: {} for member in group}
    for i in needs:
        for staff in prepared[i].staff:
            for member in group.intersection((*staff.people, *prepared[i].exclusive)):
                calendars[member][id(staff.calendar)] = staff.calendar
    out: list[MinuteSpan] = []
    for member, used in calendars.items():
        taken: Iterable[MinuteSpan] = [
            (m[0], m[1])
            for i, m in enumerate(start.moments)
            if m is not None and i not in builder.refused and _takes(builder, i, member)
        ]
        taken = merge_spans([(-FOREVER, builder.problem.now), *taken])
        free = [(end, begin) for (_, end), (begin, _) in pairwise([*taken, (FOREVER, FOREVER)])]
        out += spans_overlap(_in_any(list(used.values())), free)
    return Supply(out)


def _in_any(calendars: Sequence[Calendar]) -> tuple[MinuteSpan, ...]:
    """The minutes that are open in one calendar at least."""
    if len(calendars) == 1:
        return calendars[0].spans
    return merge_spans(span for calendar in calendars for span in calendar.spans)


def _takes(builder: Builder, i: int, member: int) -> bool:
    """True if a placed task keeps the member in use until its end, whichever crew does it."""
    prepared = builder.compiled.prepared[i]
    alike = len({id(staff.calendar) for staff in prepared.staff}) == 1
    return alike and all(member in staff.people or member in prepared.exclusive for staff in prepared.staff)
