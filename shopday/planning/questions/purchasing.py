"""What must be ordered or sent away, and by which day so that no promise slips; what to have and to mix."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from shopday.planning.plan import Moment, Plan, PlannedStep, State
from shopday.planning.step_names import errand, place, written
from shopday.shop.materials.mixing import Mix, mixes
from shopday.shop.models import Step
from shopday.shop.quantities import takes_text
from shopday.text.sentences import sentence
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop
    from shopday.planning.solving.scheduler_view import SchedulerView

PurchaseKind = Literal["order", "expect", "send"]
Lead = Literal["minutes", "workdays"]

SOON = dt.timedelta(days=3)
"""A last day this near wants doing now."""
MOST_CLOSED = 60
"""Days looked back for one on which the shop is open."""


@dataclass(frozen=True, slots=True)
class Purchase:
    """One thing to order, to expect or to send away.

    by:      the last day that delays no promise (None: no promise depends on it, or it is late already).
    urgent:  that day is near; late: the plan has it later than that, or its job is late as it is.
    """

    step: PlannedStep
    kind: PurchaseKind
    what: str
    by: dt.date | None
    planned: dt.date
    urgent: bool
    late: bool
    text: str


@dataclass(frozen=True, slots=True)
class MaterialNeed:
    """One material for the coming days: the mix where amounts are known, and what is used up with it."""

    material: str
    name: str
    first: Moment
    mix: Mix | None
    consumables: tuple[str, ...]
    text: str


def purchases(open_shop: OpenShop, plan: Plan) -> tuple[Purchase, ...]:
    """What is not here yet or not away yet, the most pressing first."""
    scheduler = open_shop.scheduler(plan)
    found = [
        _order(open_shop, plan, step, scheduler)
        for step in plan.steps
        if step.kind in ("away", "arrives") and not _over(step)
    ]
    return tuple(sorted(found, key=lambda order: (order.by or dt.date.max, order.planned)))


def material_needs(open_shop: OpenShop, plan: Plan, days: int = 7) -> tuple[MaterialNeed, ...]:
    """What the work planned to start in the coming days takes, the first needed first."""
    until = plan.now + dt.timedelta(days=days)
    rows: dict[str, list[PlannedStep]] = defaultdict(list)
    for step in plan.steps:
        material = written(open_shop.folder, step).material
        if material and step.state is State.PLANNED and step.start < until:
            rows[material].append(step)
    known = open_shop.folder.materials
    found = [_need(open_shop, plan, id, steps) for id, steps in rows.items() if id in known]
    return tuple(sorted(found, key=lambda need: need.first))


def _over(step: PlannedStep) -> bool:
    """Here already, or gone already."""
    return step.state is State.DONE or (step.kind == "away" and step.state is not State.PLANNED)


def _order(open_shop: OpenShop, plan: Plan, step: PlannedStep, scheduler: SchedulerView) -> Purchase:
    own = written(open_shop.folder, step)
    latest = scheduler.latest
    moment = latest.start(step) if step.kind == "away" else latest.complete(step)
    needed = None if moment is None else _day_of(open_shop, moment)
    lead = own.arrives.lead if own.arrives is not None else None
    by = needed if needed is None or lead is None else _before(needed, lead)
    kind: PurchaseKind = "send" if step.kind == "away" else "expect" if lead is None else "order"
    planned = step.start.date() if kind == "send" else step.complete.date()
    today = plan.now.date()
    late = needed is not None and (planned > needed or (by is not None and by < today))
    urgent = late or step.overdue or (by is not None and by - today <= SOON)
    order = Purchase(step, kind, errand(open_shop.folder, step), by, planned, urgent, late, "")
    return replace(order, text=_text(order, place(open_shop.folder, step), today, lead))


def _day_of(open_shop: OpenShop, moment: Moment) -> dt.date:
    """The last date whose shop hours begin early enough: things come and go while somebody is in."""
    days, date = open_shop.days(), moment.date()
    for _ in range(MOST_CLOSED):
        opens = days.opening(date)
        if opens is not None and opens <= open_shop.zone.of(moment):
            break
        date -= dt.timedelta(days=1)
    return date


def _before(date: dt.date, lead: tuple[str, int]) -> dt.date:
    kind, amount = lead
    if kind == "minutes":
        return date - dt.timedelta(days=-(-amount // 1440))
    while amount:
        date -= dt.timedelta(days=1)
        amount -= date.weekday() < 5
    return date


def _text(order: Purchase, where: str, today: dt.date, lead: tuple[Lead, int] | None) -> str:
    verb = {"order": "order", "expect": "make sure of", "send": "send to"}[order.kind]
    head = f"{verb} {order.what} for {where}"
    leaves = "leaves" if order.kind == "send" else "expected"
    planned = f"{leaves} {date_text(order.planned, today)} as planned"
    if order.by is None:
        return sentence(f"{head}: {planned}, and no promise hangs on it")
    takes = f", as it takes {takes_text(lead)}" if lead else ""
    if order.late:
        return sentence(
            f"{head}: {date_text(order.by, today)} was the last day that delayed no promise{takes}; {planned}"
        )
    here = " it must be here" if order.kind == "expect" else ""
    return sentence(f"{head}:{here} by {date_text(order.by, today)} at the latest{takes}; {planned}")


def _need(open_shop: OpenShop, plan: Plan, material_id: str, steps: list[PlannedStep]) -> MaterialNeed:
    material = open_shop.folder.materials[material_id]
    passes = _counted((step.address, written(open_shop.folder, step)) for step in steps)
    mix = next(iter(mixes(passes, open_shop.folder.materials)), None)
    first = min(step.start for step in steps)
    name = material.name or material_id
    used = f"; with it {', '.join(material.consumables)}" if material.consumables else ""
    text = f"{mix or name}, first on {date_text(first.date(), plan.now.date())}{used}"
    return MaterialNeed(material_id, name, first, mix, material.consumables, sentence(text))


def _counted(steps: Iterable[tuple[str, Step]]) -> Iterable[tuple[Step, int]]:
    """Each step once with how many of its passes are meant."""
    counts: dict[str, tuple[Step, int]] = {}
    for address, step in steps:
        counts[address] = step, counts.get(address, (step, 0))[1] + 1
    return counts.values()
