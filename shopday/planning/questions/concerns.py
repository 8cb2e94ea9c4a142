"""Risks in a plan that keeps every rule: glue that chalks in the cold, resin in the heat, lacquer in damp air or
without a place for spraying, a load too heavy for two."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from shopday.planning.encoding.moisture_gates import gate_text
from shopday.planning.plan import Plan, PlannedStep, State, later
from shopday.planning.questions.step_cautions import shop_warmth
from shopday.planning.step_names import written
from shopday.shop.materials.formulas import lifters
from shopday.shop.materials.stock import goes_off
from shopday.shop.measures import worded
from shopday.text.sentences import sentence
from shopday.text.times import date_text, moment_text

if TYPE_CHECKING:
    from shopday.planning.encoding.shop_temperature import Warmth
    from shopday.planning.open_shop import OpenShop
    from shopday.shop.models import Material

FIRST_HOURS = 1440
"""Minutes from the end of the work in which cold harms a cure most, or until its first wait is over (common
practice)."""


class Concern(NamedTuple):
    """One risk of one pass, in a sentence."""

    step: PlannedStep
    text: str


def concerns(open_shop: OpenShop, plan: Plan) -> tuple[Concern, ...]:
    """The concerns of all planned work, the soonest first, each once per step."""
    found: dict[tuple[str, str], Concern] = {}
    for step in sorted(plan.steps, key=lambda row: row.start):
        if step.state is State.PLANNED and step.kind == "work":
            for text in step_concerns(open_shop, plan, step):
                said = f"{step.full}: {text}"
                found.setdefault((step.address, text.partition(", ")[2]), Concern(step, sentence(said)))
    return tuple(found.values())


def step_concerns(open_shop: OpenShop, plan: Plan, step: PlannedStep) -> tuple[str, ...]:
    """The concerns of one pass; each gives the figure that is wrong and what can be done about it."""
    found = (*_of_air(open_shop, plan, step), *_of_place(open_shop, step))
    return tuple(worded(text, open_shop.folder.shop.units) for text in found)


def _of_air(open_shop: OpenShop, plan: Plan, step: PlannedStep) -> tuple[str, ...]:
    """Concerns if the shop gets too warm or too cold for the material between its start and the first hours of its
    cure."""
    material = open_shop.folder.materials.get(written(open_shop.folder, step).material or "")
    if material is None or step.state is not State.PLANNED:
        return ()
    warmth = shop_warmth(open_shop, plan)
    if warmth is None:
        return ()
    first = next((wait.end for wait in step.waits if wait.cures and not wait.informs), step.end)
    until = min(first, later(step.end, FIRST_HOURS))
    found = warmth.extremes(open_shop.zone.of(step.start), open_shop.zone.of(until))
    if found is None:
        return ()
    return tuple(_warm(material, found[1])) + tuple(_cold(open_shop, plan, step, material, found[0], warmth))


def _warm(material: Material, warmest: float) -> Iterator[str]:
    if material.highest is not None and warmest > material.highest:
        name = material.name or material.id
        resin = "it can run away, smoke and crack: pour less and thinner, or cool the shop"
        told = (
            resin
            if material.kind == "resin"
            else "it dries before it has flown out: do it in the cool of the day"
        )
        yield f"{warmest:.0f} C, and {name} is made for {material.highest:.0f} C at most; {told}"


def _cold(
    open_shop: OpenShop, plan: Plan, step: PlannedStep, material: Material, coldest: float, warmth: Warmth
) -> Iterator[str]:
    if material.lowest is None or coldest >= material.lowest:
        return
    name = material.name or material.id
    edges = (edge for edge in warmth.edges if edge >= open_shop.zone.of(step.start))
    at = next((edge for edge in edges if (warmth.at(edge) or coldest) < material.lowest), None)
    since = f" from {moment_text(open_shop.zone.moment(at), plan.now)} on" if at is not None else ""
    yield (
        f"{coldest:.0f} C{since}, and {name} wants {material.lowest:.0f} C through its first hours; "
        "keep it warm, or begin earlier in the day"
    )


def _of_place(open_shop: OpenShop, step: PlannedStep) -> Iterator[str]:
    """Concerns about humidity, stock, spraying, moisture and heavy loads."""
    folder, own = open_shop.folder, written(open_shop.folder, step)
    material = folder.materials.get(own.material or "")
    damp = folder.shop.humidity
    if material is not None and damp is not None and damp > (material.most_humidity or 100):
        name = material.name or material.id
        yield f"{damp:.0f} % humidity, and above {material.most_humidity:.0f} % {name} blushes or dries badly; dry the air"
    if material is not None and (gone := goes_off(material, folder.shop.stock)) and gone < step.start.date():
        day = date_text(gone, open_shop.now().date())
        name = material.name or material.id
        yield f"no {name} in stock is good after {day}, and it is planned for later; get a new tin, or try it on scrap"
    used = (station for station in folder.shop.stations if station.id in own.stations)
    if material is not None and material.sprayed and not any(station.for_spraying for station in used):
        yield "no place for spraying is at the step; name a booth made for it in `stations`, or have it sprayed outside"
    if step.moisture in ("unread", "wrong") and step.pass_no == 1:
        yield f"{gate_text(own, folder.shop, open_shop.state().moisture.get(step.address, {}))}; measure before it is begun"
    people = lifters(own.lifts_kg or 0)
    if people > max(2, len(folder.shop.people)):
        yield f"about {own.lifts_kg:.0f} kg: {people} people, or a cart, a lift or a hoist"
    elif people > len(folder.shop.people):
        yield f"about {own.lifts_kg:.0f} kg, and one person in the shop: get somebody to take the other end"
