"""The big answer: what to work on now and until when, as large as there is room."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.app.actions.window_alarm import closing_soon, countdown_line
from shopday.app.rows.large_letters import large
from shopday.planning.encoding.progress import progress
from shopday.planning.questions.worked_days import so_far
from shopday.text.cells import bar
from shopday.text.durations import work_text
from shopday.text.safe import clean
from shopday.text.times import moment_text, time_of

if TYPE_CHECKING:
    from shopday.planning.plan import Plan, PlannedStep
    from shopday.planning.questions.dashboard_types import Dashboard

WORKING_OUT = Content.assemble(("Working out the day", "bold"), "\nOne moment.")

BEFORE_CLOSING = dt.timedelta(minutes=45)
"""How long before the shop closes the card tells what to do before closing."""


@dataclass(frozen=True)
class Room:
    """The width in cells and the height in lines. large: the largest scale of letters (0: letters of the usual size
    alone)."""

    cells: int
    lines: int
    large: int = 0


def under_way(plan: Plan) -> list[PlannedStep]:
    return [step for step in plan.steps if step.in_hand and step.kind == "work"]


def now_text(seen: Dashboard, now: dt.datetime, room: Room) -> Content:
    going = under_way(seen.plan)
    if going:
        lines = _running(going, seen, now, room)
    elif seen.day.take_up is None:
        lines = _nothing(seen, now, room)
    else:
        lines = _take_up(seen.day.take_up, seen, now, room)
    urgent = (countdown_line(wait, now) for wait in closing_soon(seen.waits, now))
    return Content("\n").join([*lines, *urgent, *_before_closing(seen, now)])


def _running(
    going: Sequence[PlannedStep], seen: Dashboard, now: dt.datetime, room: Room
) -> Iterator[Content]:
    step = going[0]
    stands = so_far(seen.plan, step, now)
    until = f"until {moment_text(step.end, now)}"
    head = Content.assemble(("Under way", "bold"), f", {work_text(stands.worked)} so far, {until}")
    yield from _answer(step, head, "" if stands.over else until, room)
    look = "bold $warning" if stands.over else "$muted"
    ask = ": finished (f), or how long still (o)?" if stands.over else ""
    rest = f"  {stands.rest}{ask}"
    yield Content.assemble(
        (bar(stands.share, max(8, min(room.cells, 100) - len(rest))), "$primary"), (rest, look)
    )
    for other in going[1:]:
        yield Content.assemble(
            ("Beside it ", "bold"), f"{clean(other.full)}, {so_far(seen.plan, other, now).rest}"
        )
    yield from _then(step, seen, now, room)


def _take_up(step: PlannedStep, seen: Dashboard, now: dt.datetime, room: Room) -> Iterator[Content]:
    begins = step.next_work(now)
    until = f"until {moment_text(step.end, now)}"
    pinned = ", pinned" if step.key in seen.pinned else ""
    if begins <= now:
        head = Content.assemble(
            ("Go on with" if step.put_down else "Start now", "bold"), f", {until}{pinned}"
        )
    else:
        stuck = "Nothing to start now. " if seen.day.stuck else ""
        head = Content.assemble((f"{stuck}Next, at {moment_text(begins, now)}", "bold"), f", {until}{pinned}")
    yield from _answer(step, head, until if begins <= now else f"at {moment_text(begins, now)}", room)
    left = work_text(progress(step, now).left or step.work)
    needs = f" with {clean(seen.day.needs)}" if seen.day.needs else ""
    yield Content.styled(f"{left} of work{needs}", "$muted")
    yield from (Content.styled(f"! {clean(line)}", "$warning") for line in seen.day.concerns)
    yield from _stuck(seen)
    yield from _then(step, seen, now, room)


def coming_work(plan: Plan, now: dt.datetime) -> list[PlannedStep]:
    """The work to be begun or gone on with, soonest first."""
    coming = (step for step in plan.steps if step.kind == "work" and step.waits_for_hands)
    return sorted(
        (step for step in coming if step.next_work(now) >= now), key=lambda step: step.next_work(now)
    )


def _nothing(seen: Dashboard, now: dt.datetime, room: Room) -> Iterator[Content]:
    coming = coming_work(seen.plan, now)
    if not coming:
        yield Content.styled("Nothing to start", "bold")
        yield Content("No work is planned. Press 4 to plan a new job.")
        return
    step = coming[0]
    begins = moment_text(step.next_work(now), now)
    lead = "Nothing to start now" if seen.day.stuck else "Nothing more to start today"
    yield from _answer(step, Content.assemble((lead, "bold"), f". Next, {begins}"), begins, room)
    yield from _stuck(seen)


def _stuck(seen: Dashboard) -> Iterator[Content]:
    yield from (Content(clean(line)) for line in seen.day.stuck)


def _answer(step: PlannedStep, head: Content, when: str, room: Room) -> Iterator[Content]:
    """The step, in large letters if they fit, and when."""
    yield head
    left = room.lines - SMALL_LINES
    name = large(step.name, room.cells, left, room.large) if room.large else None
    if name is None:
        yield Content.assemble((clean(step.label), "bold $accent"), f" ({clean(step.place)})")
        return
    yield from (Content.styled(row, "$accent") for row in name)
    yield Content.assemble((clean(step.label), "bold $accent"), (f" ({clean(step.place)})", "bold"))
    times = large(when, room.cells, left - len(name), max(1, room.large - 1)) if when else None
    yield from (Content.styled(row, "$foreground") for row in times or ())


SMALL_LINES = 5
"""Lines of the answer in letters of the usual size: the head, the step's name and place, its progress, what follows."""


def _then(step: PlannedStep, seen: Dashboard, now: dt.datetime, room: Room) -> Iterator[Content]:
    """What comes after it today, including the break before that."""
    if not room.large:
        return
    ahead = [
        line
        for line in seen.day.lines
        if line.kind in ("work", "break") and line.at > now and line.step != step
    ]
    if ahead:
        first = [
            f"{time_of(line.at)} {clean(line.text)}" for line in ahead[: 2 if ahead[0].kind == "break" else 1]
        ]
        yield Content.assemble(("Then ", "bold"), ", ".join(first))


def _before_closing(seen: Dashboard, now: dt.datetime) -> Iterator[Content]:
    closes = seen.day.closes
    if seen.lights_out and (closes is None or now >= closes - BEFORE_CLOSING):
        yield from (Content.styled(f"! {clean(line)}", "bold $warning") for line in seen.lights_out)
