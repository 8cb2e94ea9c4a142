"""What a careful maker is told at a step and at the day's end.

Reminders, never in place of the label, local code or licensed practice.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from shopday.shop.materials.formulas import noise_hours
from shopday.shop.models import Material, Shop, Step
from shopday.text.times import hours_text

DEFER = "The label, local code and licensed practice come first."
"""Said with every list of cautions."""

OILY_RAGS = (
    "Rags with drying oil heat by themselves and burn, within an hour or days: into a closed metal can, "
    "emptied every day."
)
"""Published: OSHA 29 CFR 1910.106 and 1910.125."""
DUST = "Wood dust: run the collection and wear a respirator."
NOISE = f"Noise: hearing protection; at 95 dBA {noise_hours(95):g} hours are all a day allows."
"""Published: OSHA 29 CFR 1910.95."""
HEAVY = "Two people: do not lift it alone."
LICENSED = "Electrical, structural and gas work at the customer's home belongs to licensed trades."

_LICENSED_WORK = re.compile(
    r"\b(electric\w*|wir(?:e|es|ing)|gas|plumb\w*|structur\w*|install\w*|fit(?:ting)? at)\b", re.IGNORECASE
)


def cautions_for(step: Step, material: Material | None, shop: Shop) -> tuple[str, ...]:
    """What to mind at a step, the most dangerous first; empty when there is nothing to say."""
    said: list[str] = []
    if material is not None:
        said += [OILY_RAGS] * material.oily_rags + list(material.cautions)
    said += [HEAVY] * (step.hands == 2) + [DUST] * _is(step.dusty, step, shop, "dusty")
    if _is(step.noisy, step, shop, "noisy"):
        said.append(_noise(shop))
    if _LICENSED_WORK.search(f"{step.name} {step.id.replace('-', ' ')}"):
        said.append(LICENSED)
    return (*dict.fromkeys(said), DEFER) if said else ()


def day_end_cautions(used: Iterable[Material]) -> tuple[str, ...]:
    """What to see to before the lights go out, after a day with these materials."""
    names = sorted({material.name or material.id for material in used if material.oily_rags})
    if not names:
        return ()
    return (f"Before you close: rags from {', '.join(names)}. {OILY_RAGS}", DEFER)


def _is(written: bool | None, step: Step, shop: Shop, what: str) -> bool:
    if written is not None:
        return written
    return any(getattr(station, what) for station in shop.stations if station.id in step.stations)


def _noise(shop: Shop) -> str:
    return NOISE if shop.rules.noise is None else f"{NOISE} Only between {hours_text(shop.rules.noise)}."
