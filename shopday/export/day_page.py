"""`shopday today`: the step to take up now, the day by the clock, and what could be started instead."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from shopday.export.rich_parts import (
    BAD,
    DIM,
    GOOD,
    STRONG,
    WARN,
    goodness_line,
    heading,
    in_column,
    rows,
    span,
    text,
    title,
    unplaced_rows,
)
from shopday.planning.plan import Moment, Plan, PlannedStep, State
from shopday.planning.questions.dashboard_types import Alternative, DayLine, DayView
from shopday.planning.questions.worked_days import so_far
from shopday.planning.step_names import place
from shopday.shop.folder import ShopFolder
from shopday.text import signs
from shopday.text.durations import work_text
from shopday.text.sentences import both, sentence
from shopday.text.times import moment_text, time_of

MARKS = {
    "work": (signs.WORK, ""),
    "break": (" ", DIM),
    "ready": (signs.WAIT, GOOD),
    "window": (signs.URGENT, WARN),
    "arrives": (signs.ARRIVES, GOOD),
    "leaves": (signs.LEAVES, ""),
    "deliver": (signs.DELIVERY, GOOD),
}


def day_page(folder: ShopFolder, plan: Plan, day: DayView) -> Group:
    parts: list[RenderableType] = [title(folder.shop.name, plan.now), Text(), _first(folder, plan, day)]
    if day.lines:
        parts += [heading("The day"), rows(_lines(day, plan.now))]
    if day.could_start:
        parts += [
            heading(day.instead(plan.now)),
            *(_instead(folder, other) for other in day.could_start),
        ]
    if day.batches:
        parts += [heading("In one go"), *map(text, day.batches)]
    # how good the plan is belongs to `plan`, not to the working day
    return Group(*parts, *(goodness_line(plan) if plan.proven else []), *unplaced_rows(plan))


def _first(folder: ShopFolder, plan: Plan, day: DayView) -> RenderableType:
    if day.take_up is None:
        return Group(_nothing(plan, day), *map(text, day.stuck))
    step = day.take_up
    lead = _lead(step, plan.now)
    by = _people(folder, step)
    far = [text(_far(plan, step), DIM)] if step.state is State.UNDER_WAY else []
    told = " ".join(filter(None, (by, day.needs and f"with {day.needs}")))
    return Group(
        Text.assemble((f"{lead}: ", GOOD), (text(step.label).plain, STRONG)),
        Padding(
            Group(
                text(f"{place(folder, step)}, until {moment_text(step.end, plan.now)}"),
                *far,
                *([text(sentence(told), DIM)] if told else []),
                *(text(f"! {sentence(line)}", WARN) for line in day.concerns),
                *map(text, day.stuck),
                *(text(f"! {line}", DIM) for line in day.cautions),
                text(_command(step), DIM),
            ),
            (0, 0, 0, 2),
        ),
    )


def _far(plan: Plan, step: PlannedStep) -> str:
    """How far a step under way has come: "2h 30m so far, 1h 30m left"."""
    stands = so_far(plan, step, plan.now)
    return f"{work_text(stands.worked)} so far, {stands.rest}."


def _lead(step: PlannedStep, now: Moment) -> str:
    if step.in_hand:
        return "Under way"
    begins = step.next_work(now)
    return "Start now" if begins <= now else f"Next, at {time_of(begins)}"


def _command(step: PlannedStep) -> str:
    return f"shopday {'finish' if step.in_hand else 'start'} {step.address}"


def _nothing(plan: Plan, day: DayView) -> Text:
    """The day is over or a day off: tell what comes next."""
    ahead = [
        (start, row)
        for row in plan.steps
        if row.kind == "work" and row.state in (State.PLANNED, State.UNDER_WAY)
        for start, _ in row.stretches
        if start > plan.now
    ]
    if not ahead:
        return text("No work is planned. `shopday` opens the app, where 4 makes a job.", STRONG)
    start, step = min(ahead, key=lambda pair: pair[0])
    lead = "Nothing to start now" if day.stuck else "Nothing more today"
    said = f"{lead}. Next is {step.full}, {moment_text(start, plan.now)}."
    return text(said, STRONG)


def _people(folder: ShopFolder, step: PlannedStep) -> str:
    """Who does it, if the shop has more than one person."""
    names = {person.id: person.name or person.id for person in folder.shop.people}
    return both(names.get(id, id) for id in step.people) if len(names) > 1 else ""


def _lines(day: DayView, now: Moment) -> Iterator[tuple[Text, Text]]:
    """The day's lines, with a mark at now."""
    marked = day.date != now.date()
    for line in day.lines:
        if not marked and line.at >= now:
            marked = True
            yield Text(in_column(now, None), STRONG), Text("── now", STRONG)
        yield _line(line, now)


def _line(line: DayLine, now: Moment) -> tuple[Text, Text]:
    mark, style = MARKS[line.kind]
    over = (line.until or line.at) < now
    done = line.step is not None and line.kind == "work" and line.step.state in (State.DONE, State.WAITING)
    said = text(line.text + (", done" if done else ""), DIM if over or done else style)
    if line.step is not None and line.step.missed and line.kind == "work":
        said.append(", its window missed", BAD)
    return span(line.at, line.until), Text(f"{mark} ", style).append_text(said)


def _instead(folder: ShopFolder, other: Alternative) -> Padding:
    name = text(other.step.full, STRONG)
    return Padding(Group(name, text(sentence(other.why_not_first), DIM)), (0, 0, 0, 2))
