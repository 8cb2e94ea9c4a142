"""Materials to have, and mixes, for the work of the coming days."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopday.planning.plan import Moment, Plan, PlannedStep, State
from shopday.planning.step_names import written
from shopday.shop.materials.mixing import Mix, mixes
from shopday.shop.models import Step
from shopday.text.sentences import sentence
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop


@dataclass(frozen=True, slots=True)
class MaterialNeed:
    """One material for the coming days: the mix if amounts are known, and the consumables that go with it."""

    material: str
    name: str
    first: Moment
    mix: Mix | None
    consumables: tuple[str, ...]
    text: str


def material_needs(open_shop: OpenShop, plan: Plan, days: int = 7) -> tuple[MaterialNeed, ...]:
    """The materials of work planned to start in the coming days, in the order of their first use."""
    until = plan.now + dt.timedelta(days=days)
    rows: dict[str, list[PlannedStep]] = defaultdict(list)
    for step in plan.steps:
        material = written(open_shop.folder, step).material
        if material and step.state is State.PLANNED and step.start < until:
            rows[material].append(step)
    known = open_shop.folder.materials
    found = [_need(open_shop, plan, id, steps) for id, steps in rows.items() if id in known]
    return tuple(sorted(found, key=lambda need: need.first))


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
    """Each step once, with the number of its passes in `steps`."""
    counts: dict[str, tuple[Step, int]] = {}
    for address, step in steps:
        counts[address] = step, counts.get(address, (step, 0))[1] + 1
    return counts.values()
