"""The parts of printed pages: texts, headings, rows beside a clock time."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from rich.console import RenderableType
from rich.padding import Padding
from rich.text import Text

from shopday.planning.plan import Moment, Plan
from shopday.planning.questions.obstacles import obstacles
from shopday.planning.questions.optimality_text import plan_optimality
from shopday.text.safe import clean
from shopday.text.times import clock_cells, date_text, from_to, time_of

DIM, STRONG, GOOD, WARN, BAD = "dim", "bold", "green", "yellow", "bold red"


def text(said: str, style: str = "") -> Text:
    """Anything a person may have typed, shown literally."""
    return Text(clean(said), style)


def heading(said: str, beside: str = "") -> Text:
    line = Text("\n").append(clean(said), STRONG)
    return line.append(f"  {clean(beside)}", DIM) if beside else line


def title(shop: str, now: Moment) -> Text:
    return Text.assemble(
        (clean(shop), STRONG), (f"  {date_text(now.date(), now.date())}, {time_of(now)}", DIM)
    )


def rows(pairs: Iterable[tuple[Text, RenderableType]]) -> Padding:
    """Short things on the left with long ones beside them, each wrapped in its own column."""
    from rich.table import Table  # slow to load, and the answers to what is logged have none

    table = Table.grid(padding=(0, 2))
    table.add_column(no_wrap=True)
    table.add_column(ratio=1, overflow="fold")
    for left, right in pairs:
        table.add_row(left, right)
    return Padding(table, (0, 0, 0, 2))


def span(start: Moment, end: Moment | None) -> Text:
    """ "8:00–12:30", aligned so that times are below each other."""
    return Text(in_column(start, end), "cyan")


def in_column(start: Moment, end: Moment | None) -> str:
    """From when to when, with the starts right-aligned."""
    return " " * (clock_cells() - len(time_of(start))) + from_to(start, end)


def goodness_line(plan: Plan) -> list[RenderableType]:
    """How good the plan is, if that is known."""
    said = plan_optimality(plan)
    return [Text(f"\n{said}", DIM)] if said else []


def unplaced_rows(plan: Plan) -> list[RenderableType]:
    """What has no place in the plan, and why; empty if everything has one."""
    if not plan.unplaced:
        return []
    found = obstacles(plan)
    told = [
        Text.assemble((clean(each.rows[0].address), STRONG), f"{each.others}  {clean(each.why)}")
        for each in found.by_reason
    ]
    told += [Text(found.rest, DIM)] * bool(found.rest)
    return [heading("Cannot be planned"), *(Padding(line, (0, 0, 0, 2)) for line in told)]


def moment_of(date: dt.date, now: Moment) -> str:
    """A day as a heading: "Today, Wed 25 Nov"."""
    ahead = (date - now.date()).days
    name = {0: "Today, ", 1: "Tomorrow, "}.get(ahead, "")
    return f"{name}{date_text(date, now.date())}"
