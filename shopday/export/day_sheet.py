"""The day on one page for the wall: what to do, wait for, mix and mind."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from shopday.export.rich_parts import in_column
from shopday.export.sheet_model import Sheet, SheetRow, SheetSection, most
from shopday.planning.plan import Plan, PlannedStep, State
from shopday.planning.step_names import place, written
from shopday.text.safe import clean
from shopday.text.sentences import both
from shopday.text.times import date_text, moment_text, time_of

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop
    from shopday.planning.questions.dashboard_types import DayLine, WaitingItem
    from shopday.shop.models import Material

MOST_WORK, MOST_WAITING, MOST_LINES = 24, 12, 6
"""What one page holds; the rest is told as a number."""
NOTHING = "Nothing is planned for the rest of the day."


def day_sheet(open_shop: OpenShop, plan: Plan) -> Sheet:
    return Sheet(
        clean(open_shop.folder.shop.name),
        date_text(plan.now.date(), plan.now.date()),
        time_of(plan.now),
        tuple(section for section in _sections(open_shop, plan) if section.rows or section.told),
    )


def _sections(open_shop: OpenShop, plan: Plan) -> Iterator[SheetSection]:
    from shopday.planning.questions.day import day_view
    from shopday.planning.questions.material_needs import material_needs
    from shopday.planning.questions.purchasing import purchases
    from shopday.planning.questions.waiting import waiting_items

    now, today = plan.now, plan.now.date()
    lines = [line for line in day_view(open_shop, plan).lines if (line.until or line.at) >= now]
    yield SheetSection("To do", most(map(line_row, lines), MOST_WORK), "" if lines else NOTHING)
    mixes = (need.text for need in material_needs(open_shop, plan, 1) if need.first.date() == today)
    yield _list("To mix", mixes)
    yield _list("To order", (order.text for order in purchases(open_shop, plan) if order.urgent))
    waits = (row for row in waiting_items(open_shop, plan) if row.kind != "informs")
    yield SheetSection(
        "Waiting on", most((_waiting_row(open_shop, row, plan) for row in waits), MOST_WAITING)
    )
    yield SheetSection("Mind", tuple(SheetRow(clean(line)) for line in _cautions(open_shop, plan)))


def _list(name: str, lines: Iterable[str]) -> SheetSection:
    return SheetSection(name, most((SheetRow(clean(line)) for line in lines), MOST_LINES))


def line_row(line: DayLine) -> SheetRow:
    """A line of the day. It has a box if somebody does it: work, and things to take in or send off."""
    return SheetRow(
        clean(line.text), in_column(line.at, line.until), line.kind in ("work", "arrives", "leaves")
    )


def _waiting_row(open_shop: OpenShop, row: WaitingItem, plan: Plan) -> SheetRow:
    until = "overdue" if row.overdue else moment_text(row.until, plan.now) if row.until else ""
    return SheetRow(clean(f"{row.what}: {row.step.label} ({place(open_shop.folder, row.step)})"), until)


def _cautions(open_shop: OpenShop, plan: Plan) -> list[str]:
    """What to mind, and at which of today's work, then at the day's end. The reference to the label comes once,
    last."""
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
    """The work still to be done today."""
    return [
        step
        for step in plan.steps
        if step.kind == "work"
        and step.state in (State.PLANNED, State.UNDER_WAY)
        and any(start.date() <= plan.now.date() for start, end in step.stretches if end > plan.now)
    ]
