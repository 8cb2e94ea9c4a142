"""The day on one page for the wall: what is to be done, waited on, mixed and minded, with room for a pencil."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rich.console import Group, RenderableType
from rich.text import Text

from shopday.export.console import PIPE_WIDTH, plain_text
from shopday.export.rich_parts import heading, in_column, rows, text
from shopday.planning.plan import Plan, PlannedStep, State
from shopday.planning.step_names import place, written
from shopday.text.safe import clean
from shopday.text.sentences import both
from shopday.text.times import date_text, moment_text, time_of

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop
    from shopday.shop.models import Material

PENCIL = 4
"""Empty lines at the foot."""

MOST_WORK, MOST_WAITING, MOST_LINES = 24, 12, 6
"""What one page holds; of what is over, the number is told."""

SheetRow = tuple[str, str]


@dataclass(frozen=True, slots=True)
class DaySheet:
    """Rows of (when, what) and lines, free of control characters."""

    shop: str
    date: str
    made: str
    work: tuple[SheetRow, ...]
    waiting: tuple[SheetRow, ...]
    mixes: tuple[str, ...]
    orders: tuple[str, ...]
    cautions: tuple[str, ...]


def day_sheet(open_shop: OpenShop, plan: Plan) -> DaySheet:
    from shopday.planning.questions.day import day_view as today
    from shopday.planning.questions.material_needs import material_needs
    from shopday.planning.questions.purchasing import purchases
    from shopday.planning.questions.waiting import waiting_items

    now, folder = plan.now, open_shop.folder
    lines = [line for line in today(open_shop, plan).lines if (line.until or line.at) >= now]
    waits = [row for row in waiting_items(open_shop, plan) if row.kind != "informs"]
    return DaySheet(
        clean(folder.shop.name),
        date_text(now.date(), now.date()),
        time_of(now),
        _most([(in_column(line.at, line.until), clean(line.text)) for line in lines], MOST_WORK),
        _most(
            [
                (
                    "overdue" if row.overdue else moment_text(row.until, now) if row.until else "",
                    clean(f"{row.what}: {row.step.label} ({place(folder, row.step)})"),
                )
                for row in waits
            ],
            MOST_WAITING,
        ),
        tuple(clean(n.text) for n in material_needs(open_shop, plan, 1) if n.first.date() == now.date())[
            :MOST_LINES
        ],
        tuple(clean(order.text) for order in purchases(open_shop, plan) if order.urgent)[:MOST_LINES],
        tuple(map(clean, _cautions(open_shop, plan))),
    )


def _most(rows: list[SheetRow], most: int) -> tuple[SheetRow, ...]:
    over = len(rows) - most
    return (*rows[:most], ("", f"and {over} more")) if over > 0 else tuple(rows)


def _cautions(open_shop: OpenShop, plan: Plan) -> list[str]:
    """What to mind at which of today's work, and at the day's end; the deference to the label once, last."""
    from shopday.shop.materials.cautions import DEFER, cautions_for, day_end_cautions

    folder = open_shop.folder
    at: dict[str, dict[str, None]] = {}
    used: list[Material] = []
    for step in _todays(plan):
        own = written(folder, step)
        material = folder.materials.get(own.material) if own.material else None
        for line in cautions_for(own, material, folder.shop):
            at.setdefault(line, {})[step.name] = None
        used += [material] if material else []
    told = [f"{both(names)}: {line}" for line, names in at.items() if line != DEFER]
    told += (line for line in day_end_cautions(used) if line != DEFER)
    return [*told, DEFER] if told else []


def _todays(plan: Plan) -> list[PlannedStep]:
    """The work that is still to be done today."""
    return [
        step
        for step in plan.steps
        if step.kind == "work"
        and step.state in (State.PLANNED, State.UNDER_WAY)
        and any(start.date() <= plan.now.date() for start, end in step.stretches if end > plan.now)
    ]


def as_text(sheet: DaySheet) -> str:
    """80 columns."""
    head = f"{sheet.shop}  {sheet.date}"
    parts: list[RenderableType] = [text(head), Text("=" * min(PIPE_WIDTH, max(1, text(head).cell_len)))]
    parts += [heading("To do"), rows((text(f"[ ] {at}"), text(what)) for at, what in sheet.work)]
    if not sheet.work:
        parts.append(Text("  Nothing is planned for the rest of the day."))
    if sheet.waiting:
        parts += [heading("Waiting on"), rows((text(until), text(what)) for until, what in sheet.waiting)]
    for name, lines in (("To mix", sheet.mixes), ("To order", sheet.orders), ("Mind", sheet.cautions)):
        if lines:
            parts += [heading(name), rows((Text("-"), text(line)) for line in lines)]
    parts += [heading("Notes"), *[Text(f"\n  {'.' * (PIPE_WIDTH - 4)}")] * PENCIL]
    parts.append(Text(f"\nAs planned at {sheet.made}."))
    return plain_text(Group(*parts))
