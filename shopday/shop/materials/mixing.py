"""How much of a material to buy and to mix; each mix is used up within its pot life."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from shopday.shop.models import Material, Step
from shopday.shop.ratios import Ratio, portioned, ratio_of

USUAL_DENSITY = 1.1
"""Common practice: kilograms per litre of mixed resin or oil, for a ratio by weight if a material states none."""


Portions = tuple[tuple[tuple[int, ...], int], ...]
"""Cups to mix: the parts of one, and how many such cups."""


@dataclass(frozen=True, slots=True)
class Mix:
    """How much of a material to have or to mix.

    millilitres: in all.
    portions:    the parts of each cup and the number of such cups. Parts are in millilitres, or in grams if the
                 ratio is by weight; one part if the label's ratio is not known.
    """

    material: str
    name: str
    millilitres: float
    ratio: Ratio | None = None
    portions: Portions = ()

    def __str__(self) -> str:
        text = f"{self.name}: {amount_text(self.millilitres)}"
        cups = sum(count for _, count in self.portions)
        if self.ratio is None and cups > 1:
            return f"{text} at the label's ratio, {self._cups('ml')}"
        if self.ratio is None:
            return text
        return f"{text}, {self.ratio}: {self._cups('g' if self.ratio.by_weight else 'ml')}"

    def _cups(self, unit: str) -> str:
        alone = len(self.portions) == 1 and self.portions[0][1] == 1
        told = []
        for parts, count in self.portions:
            cup = " + ".join(amount_text(part, unit) for part in parts)
            told.append(cup if alone else f"{count} mix{'es' if count > 1 else ''} of {cup}")
        return ", ".join(told)


def mixes(passes: Iterable[tuple[Step, int]], materials: Mapping[str, Material]) -> tuple[Mix, ...]:
    """What to have of each material for the passes of these steps. Each pass is mixed separately, and in several
    mixes if it takes longer than the pot life or more than may be mixed at once."""
    cups: dict[str, Counter[float]] = {}
    for step, count in passes:
        material = materials.get(step.material or "")
        if step.amount_ml is not None and material is not None:
            each = cups_of(material, step)
            cups.setdefault(material.id, Counter())[step.amount_ml / each] += each * count
    return tuple(_mix(materials[id], counted) for id, counted in cups.items())


def cups_of(material: Material, step: Step) -> int:
    """The mixes that one pass takes. Pot life follows mass and heat, so the rate of a cure plays no part."""
    used = step.hands_on if step.spreading is None else step.spreading
    by_time = math.ceil(used / material.pot_life - 1e-9) if material.pot_life else 1
    litres = step.amount_ml / 1000 if step.amount_ml else None
    by_volume = math.ceil(litres / material.most_litres - 1e-9) if litres and material.most_litres else 1
    return max(1, by_time, by_volume)


def _mix(material: Material, cups: Counter[float]) -> Mix:
    name = material.name or material.id
    if not material.mix:
        portions: Portions = tuple(
            ((5 * math.ceil(amount / 5 - 1e-9),), count) for amount, count in cups.items()
        )
        return Mix(material.id, name, _total(portions), None, portions if material.pot_life else ())
    ratio = ratio_of(material.mix)
    density = (material.density or USUAL_DENSITY) if ratio.by_weight else 1
    portions = tuple((portioned(amount * density, ratio), count) for amount, count in cups.items())
    return Mix(material.id, name, _total(portions) / density, ratio, portions)


def _total(portions: Portions) -> float:
    return sum(sum(parts) * count for parts, count in portions)


def amount_text(amount: float, unit: str = "ml") -> str:
    """An amount as a cup or a scale shows it; nothing is rounded down."""
    whole = math.ceil(amount - 1e-6)
    if whole < 1000:
        return f"{whole} {unit}"
    return f"{whole / 1000:.3f}".rstrip("0").rstrip(".") + (" l" if unit == "ml" else " kg")
