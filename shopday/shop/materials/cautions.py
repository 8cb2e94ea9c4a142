"""Cautions shown at a step and at the end of the day.

They are reminders, and never replace the label, local code or licensed practice.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from functools import cache

from shopday.shop.book_tables import book_table
from shopday.shop.materials.formulas import lifters, noise_law, noise_limit
from shopday.shop.measures import worded
from shopday.shop.models import Material, Shop, Station, Step
from shopday.text.durations import minutes_text
from shopday.text.times import hours_text

DEFER = "The label, local code and licensed practice come first."
"""Shown with every list of cautions."""

OILY_RAGS = (
    "Oily rags can heat up and catch fire on their own within hours: put them in a closed metal can, emptied every "
    "day."
)
"""Published: OSHA 29 CFR 1910.106 and 1910.125."""
DUST = (
    "Wood dust causes cancer (IARC group 1) and burns, fine in a bag or a duct it can explode: run the collection "
    "and wear a respirator."
)
"""Published: IARC monograph 100C; NFPA 664."""
LOUD = 95
"""dBA of a planer or a router, from memory of published tables."""
NOISE = (
    f"Noise: protect your ears from 80 to 85 dBA on; at {LOUD} dBA {minutes_text(int(60 * noise_limit(LOUD)))} a day "
    f"is the limit for health (NIOSH; the EU's is as strict), {noise_law(LOUD):g} h that of US law (OSHA)."
)
"""Published: NIOSH 98-126, directive 2003/10/EC, OSHA 29 CFR 1910.95."""
HEAVY = "Two people: do not lift it alone."
LICENSED = "Electrical, structural and gas work at the customer's home belongs to licensed trades."
SPRAYED = (
    "Its vapour and overspray burn, and this shop lists no place for spraying at the step: only in a booth or room made "
    "for it, with a fan that makes no spark (OSHA 1910.107, NFPA 33)."
)
FILTERS = "Lacquer residue and oily residue never into one filter or bin: together they heat by themselves."
"""Published: OSHA 29 CFR 1910.107, NFPA 33."""

_LICENSED_WORK = re.compile(
    r"\b(electric\w*|wir(?:e|es|ing)(?!-| brush)|gas|plumb\w*|structur\w*|install\w*|fit(?:ting)? at"
    r"|(?:to|into) the (?:wall|ceiling))\b",
    re.IGNORECASE,
)
_BY_STATION = (
    (re.compile(r"\b(saw|router|shaper|spindle)\b"), "kickback"),
    (re.compile(r"\blathe\b"), "rotating"),
    (re.compile(r"\bpressure\b"), "pressure-pot"),
    (re.compile(r"\bvacuum\b"), "vacuum"),
    (re.compile(r"\bsteam\b"), "steam"),
)
"""The caution of the book for what a station is by its id or name."""


@cache
def caution_texts() -> Mapping[str, str]:
    """The cautions of the book, by id."""
    return {id: entry["says"] for id, entry in book_table("cautions").items()}


def cautions_for(step: Step, material: Material | None, shop: Shop) -> tuple[str, ...]:
    """What to mind at a step, the most dangerous first; empty if there is nothing to say."""
    used = [station for station in shop.stations if station.id in step.stations]
    said: list[str] = []
    if material is not None:
        said += [*_of_material(material, used)]
    said += _lifting(step, shop)
    said += (caution_texts().get(own, own) for own in step.minds)
    names = " ".join(f"{s.id} {s.name}" for s in used).lower().replace("-", " ")
    said += (caution_texts()[id] for pattern, id in _BY_STATION if pattern.search(names))
    said += [DUST] * _is(step.dusty, used, "dusty")
    said += [_noise(shop)] * _is(step.noisy, used, "noisy")
    if _LICENSED_WORK.search(f"{step.name} {step.id.replace('-', ' ')}"):
        said.append(LICENSED)
    return tuple(worded(line, shop.units) for line in (*dict.fromkeys(said), DEFER)) if said else ()


def day_end_cautions(used: Iterable[Material]) -> tuple[str, ...]:
    """What to do before closing, after a day with these materials."""
    names = sorted({material.name or material.id for material in used if material.oily_rags})
    if not names:
        return ()
    return (f"Before you close: rags from {', '.join(names)}. {OILY_RAGS}", DEFER)


def _of_material(material: Material, used: Iterable[Station]) -> Iterator[str]:
    yield from [OILY_RAGS] * material.oily_rags
    yield from (caution_texts().get(own, own) for own in material.cautions)
    if material.sprayed:
        yield from () if any(station.for_spraying for station in used) else (SPRAYED,)
        yield FILTERS


def _lifting(step: Step, shop: Shop) -> Iterator[str]:
    """How many people, or what else, a load needs; more than two people cannot be planned, so it is told."""
    people = lifters(step.lifts_kg or 0)
    if people > 2:
        yield f"It weighs about {step.lifts_kg:.0f} kg: {people} people at 23 kg each (NIOSH), or a cart, a lift or a hoist."
    elif len(shop.people) < 2 and max(people, step.hands) == 2:
        yield caution_texts()["two-people"]
    elif step.hands == 2:
        yield HEAVY


def _is(written: bool | None, used: Iterable[Station], what: str) -> bool:
    return written if written is not None else any(getattr(station, what) for station in used)


def _noise(shop: Shop) -> str:
    return NOISE if shop.rules.noise is None else f"{NOISE} Only between {hours_text(shop.rules.noise)}."
