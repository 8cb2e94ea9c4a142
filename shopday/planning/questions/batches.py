"""Work to do in one go: the same set-up for several jobs, or one mix for several pours or coats within its pot life."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, NamedTuple

from shopday.planning.plan import Moment, Plan, PlannedStep, State
from shopday.planning.step_names import written
from shopday.text.durations import work_text
from shopday.text.sentences import both, sentence
from shopday.text.times import moment_text

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop
    from shopday.shop.models import Material

AHEAD = dt.timedelta(days=7)
"""Only steps that begin within this time of the plan's now are considered."""
MIXING = 10
"""Minutes to weigh, stir and clean up after one mix (common practice)."""


class Batch(NamedTuple):
    """Steps to do in one go, the one planned first in front, and the minutes of work that this saves."""

    steps: tuple[PlannedStep, ...]
    saves: int
    text: str


def batches(open_shop: OpenShop, plan: Plan) -> tuple[Batch, ...]:
    """Every batch in the coming week, those that save most first."""
    found = (*_set_ups(open_shop, plan), *_mixes(open_shop, plan))
    return tuple(sorted(found, key=lambda batch: -batch.saves))


def _coming(plan: Plan) -> list[PlannedStep]:
    rows = (row for row in plan.steps if row.kind == "work" and row.state is State.PLANNED)
    return sorted((row for row in rows if row.start < plan.now + AHEAD), key=lambda row: row.start)


def _could_be_at(row: PlannedStep, moment: Moment) -> bool:
    """True if the step may start by then: what it waits for is over, and it has no appointment."""
    return row.limits is not None and not row.limits.appointment and row.limits.ready <= moment


def _set_ups(open_shop: OpenShop, plan: Plan) -> Iterator[Batch]:
    alike: dict[str, list[PlannedStep]] = defaultdict(list)
    for row in _coming(plan):
        setup = written(open_shop.folder, row).setup
        if setup is not None:
            alike[setup.what.casefold()].append(row)
    for first, *others in alike.values():
        joined = (first, *(row for row in others if _could_be_at(row, first.start)))
        setups = [written(open_shop.folder, row).setup for row in joined]
        if len(joined) > 1:
            saves = sum(setup.takes for setup in setups[1:] if setup is not None)
            yield _batch(open_shop, plan, joined, saves, f"set up {setups[0].what if setups[0] else ''} once")


def _mixes(open_shop: OpenShop, plan: Plan) -> Iterator[Batch]:
    alike: dict[str, list[PlannedStep]] = defaultdict(list)
    for row in _coming(plan):
        own = written(open_shop.folder, row)
        material = open_shop.folder.materials.get(own.material or "")
        if material is not None and material.mix and material.pot_life and own.amount_ml:
            alike[material.id].append(row)
    for id, (first, *others) in alike.items():
        material = open_shop.folder.materials[id]
        joined = _in_one_pot(open_shop, material, first, others)
        if len(joined) > 1:
            saves = MIXING * (len(joined) - 1)
            yield _batch(
                open_shop, plan, joined, saves, f"one mix of {material.name or id}, within its pot life"
            )


def _in_one_pot(
    open_shop: OpenShop, material: Material, first: PlannedStep, others: Iterable[PlannedStep]
) -> tuple[PlannedStep, ...]:
    """The first steps, all different, that fit into the pot life and the largest mix."""
    joined: list[PlannedStep] = []
    minutes, litres = 0, 0.0
    for row in (first, *others):
        own = written(open_shop.folder, row)
        minutes += own.hands_on if own.spreading is None else own.spreading
        litres += (own.amount_ml or 0) / 1000
        fits = minutes <= (material.pot_life or 0) and litres <= (material.most_litres or litres)
        apart = row.address not in [other.address for other in joined]
        if fits and apart and (row is first or _could_be_at(row, first.start)):
            joined.append(row)
        else:
            break
    return tuple(joined)


def _batch(open_shop: OpenShop, plan: Plan, joined: tuple[PlannedStep, ...], saves: int, how: str) -> Batch:
    names = both(row.full for row in joined)
    at = moment_text(joined[0].start, plan.now)
    return Batch(joined, saves, sentence(f"{names} in one go, {at}: {how}, saves about {work_text(saves)}"))
