"""Cautions at a step and at the end of the day, cold that forbids a start, and why a cure takes its time."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from shopday.planning.encoding.shop_temperature import Warmth, cure_reason
from shopday.planning.plan import Moment, Plan, PlannedStep, PlannedWait, State
from shopday.planning.step_names import written
from shopday.shop.materials.cautions import cautions_for, day_end_cautions
from shopday.shop.measures import worded
from shopday.shop.step_graph import waits_of
from shopday.text.sentences import sentence
from shopday.text.times import moment_text

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop
    from shopday.shop.models import Material

CURE_LOOKAHEAD = dt.timedelta(days=120)
"""How long after the plan's last step the temperature is still looked at."""


def cautions(open_shop: OpenShop, step: PlannedStep) -> tuple[str, ...]:
    """What to mind at a step; empty if there is nothing to say."""
    own = written(open_shop.folder, step)
    return cautions_for(own, _material(open_shop, step), open_shop.folder.shop)


def day_end(open_shop: OpenShop, plan: Plan, date: dt.date | None = None) -> tuple[str, ...]:
    """What to do before closing on a date, today by default."""
    date = date or plan.now.date()
    used = [_material(open_shop, step) for step in plan.steps if _worked_on(step, date)]
    return day_end_cautions(material for material in used if material is not None)


def too_cold(open_shop: OpenShop, plan: Plan, step: PlannedStep, at: Moment | None = None) -> str:
    """Says that it is too cold to begin a step at a moment (now by default) and when it will be warm enough; else
    ""."""
    material = _material(open_shop, step)
    if material is None or step.state is not State.PLANNED:
        return ""
    shop = shop_warmth(open_shop, plan)
    cold = None if shop is None else shop.too_cold(material, open_shop.zone.of(at or plan.now))
    if cold is None:
        return ""
    name = material.name or material.id
    until = (
        "the shop's temperatures never reach that"
        if cold.until is None
        else f"warm enough from {moment_text(open_shop.zone.moment(cold.until), plan.now)}"
    )
    said = f"too cold for {name}: {cold.celsius:.0f} C, it needs {cold.lowest:.0f} C; {until}"
    return worded(sentence(said), open_shop.folder.shop.units)


def cure_note(open_shop: OpenShop, plan: Plan, step: PlannedStep, wait: PlannedWait) -> str:
    """Why a cure takes longer or shorter than its label says, in a sentence; "" if it does not."""
    waits = waits_of(written(open_shop.folder, step), open_shop.folder.materials)
    takes = next((w.takes for w in waits if w.name == wait.name), None)
    if not wait.cures or takes is None:
        return ""
    shop = shop_warmth(open_shop, plan)
    if shop is None:
        return ""
    start, end = open_shop.zone.of(wait.start), open_shop.zone.of(wait.end)
    reason = cure_reason(shop, _material(open_shop, step), start, end, takes) or ""
    return worded(reason, open_shop.folder.shop.units)


def shop_warmth(open_shop: OpenShop, plan: Plan) -> Warmth | None:
    """The shop's temperature from the plan's first moment until some time after its last."""
    moments = [plan.now, *(step.start for step in plan.steps), *(step.complete for step in plan.steps)]
    return open_shop.warmth(min(moments).date(), max(moments).date() + CURE_LOOKAHEAD)


def _material(open_shop: OpenShop, step: PlannedStep) -> Material | None:
    return open_shop.folder.materials.get(written(open_shop.folder, step).material or "")


def _worked_on(step: PlannedStep, date: dt.date) -> bool:
    spans = step.stretches or ((step.start, step.end),)
    return step.kind == "work" and any(start.date() <= date <= end.date() for start, end in spans)
