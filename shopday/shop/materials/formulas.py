"""Sums of the trade: pours, clamps, weight, mixing, moisture and movement. Pure, metric, sources beside them.

Lengths in mm, areas in square metres, temperatures in degrees Celsius, moisture in per cent of dry weight,
times in minutes unless said otherwise.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from shopday.shop.models import Material

LIFT_ALONE_KG = 23
"""Published: load constant of the NIOSH lifting equation, 1991."""
LONGEST_ALONE_MM = 2400
"""Common practice: longer pieces want a second person whatever they weigh."""
CLAMP_SPACING_MM = (150, 300)
"""Published: a clamp every 6 to 12 inches."""
WASTE = 1.1
"""Common practice: a tenth stays in the cup and on the brush."""
USUAL_COVERAGE = 10.0
"""Common practice: square metres a litre, where a material gives none."""


@dataclass(frozen=True, slots=True)
class Species:
    """kg: kilograms a cubic metre; moves: share of the width for each per cent of moisture, flat-sawn."""

    kg: float
    moves: float


@cache
def species() -> Mapping[str, Species]:
    """The woods the book knows, by id."""
    text = files("shopday.shop").joinpath("book/species.toml").read_text(encoding="utf-8")
    return {name: Species(**entry) for name, entry in tomllib.loads(text).items()}


# ---------------------------------------------------------------- size, weight, clamps, glue


def weight_kg(wood: str, length: float, width: float, thickness: float) -> float:
    """What a board or panel weighs."""
    return species()[wood].kg * length * width * thickness / 1e9


def hands(kilograms: float, longest: float = 0) -> int:
    """1 or 2: whether somebody should take the other end."""
    return 2 if kilograms > LIFT_ALONE_KG or longest > LONGEST_ALONE_MM else 1


def pour_count(depth: float, deepest_layer: float) -> int:
    """How many pours fill a void, none deeper than the material allows."""
    return max(1, math.ceil(depth / deepest_layer - 1e-9))


def clamp_spacing(to_glue_line: float) -> float:
    """Pressure spreads at 45 degrees, so clamps stand twice as far apart as the glue line is deep (common
    practice), kept between the published 6 and 12 inches."""
    least, most = CLAMP_SPACING_MM
    return max(least, min(most, 2 * to_glue_line))


def clamps(length: float, to_glue_line: float) -> int:
    """How many clamps press a joint of this length."""
    return max(2, math.ceil(length / clamp_spacing(to_glue_line) - 1e-9))


def glue_stages(joints: int, minutes_each: float, open_time: float) -> int:
    """Glue-ups needed so that no joint stands spread for longer than the glue stays open."""
    at_once = max(1, math.floor(open_time / minutes_each + 1e-9)) if minutes_each > 0 else joints
    return max(1, math.ceil(joints / max(1, at_once)))


# ---------------------------------------------------------------- mixing


@dataclass(frozen=True, slots=True)
class Mix:
    """How much of a material to have or to mix: millilitres in all, and of each part at the ratio.

    batches: mixes to make one after another, so that each is used up within its pot life.
    """

    material: str
    name: str
    millilitres: float
    parts: tuple[float, ...] = ()
    ratio: str = ""
    batches: int = 1

    def __str__(self) -> str:
        text = f"{self.name}: {_amount(self.millilitres)}"
        if self.parts:
            text += f", {self.ratio} by volume: " + " + ".join(map(_amount, self.parts))
        return text + (f", in {self.batches} mixes" if self.batches > 1 else "")


def mixed(material: Material, millilitres: float, batches_needed: int = 1) -> Mix:
    """An amount of a material, parted at its label's ratio."""
    parts = shares(millilitres, material.mix)
    ratio = material.mix if parts else ""
    return Mix(material.id, material.name or material.id, millilitres, parts, ratio, batches_needed)


def litres_for(area: float, coverage: float) -> float:
    """Litres that cover an area (m2) once at a coverage (m2 a litre), waste included."""
    return area / coverage * WASTE


def shares(amount: float, ratio: str) -> tuple[float, ...]:
    """An amount parted at a label's ratio such as "3:1"; empty where the ratio cannot be read."""
    try:
        parts = [float(part) for part in ratio.split(":")]
    except ValueError:
        return ()
    if len(parts) < 2 or min(parts) <= 0 or not all(map(math.isfinite, parts)):
        return ()
    return tuple(amount * part / sum(parts) for part in parts)


def batches(spreading: float, pot_life: float | None) -> int:
    """Mixes that are used up within the pot life. It follows mass and heat, so a cure's rate never enters."""
    return max(1, math.ceil(spreading / pot_life - 1e-9)) if pot_life else 1


def _amount(millilitres: float) -> str:
    return (
        f"{millilitres / 1000:.1f} l" if millilitres >= 1000 else f"{max(5, round(millilitres / 5) * 5)} ml"
    )


# ---------------------------------------------------------------- moisture, air, noise


def equilibrium_moisture(celsius: float, humidity: float) -> float:
    """Moisture (%) wood comes to in air of this humidity (0 to 1): Wood Handbook eq. 4-5, FPL-RN-0268."""
    t, h = celsius, humidity
    w = 349 + 1.29 * t + 0.0135 * t * t
    k = 0.805 + 0.000736 * t - 0.00000273 * t * t
    k1 = 6.27 - 0.00938 * t - 0.000303 * t * t
    k2 = 1.91 + 0.0407 * t - 0.000293 * t * t
    kh = k * h
    wet = (k1 * kh + 2 * k1 * k2 * kh * kh) / (1 + k1 * kh + k1 * k2 * kh * kh)
    return 1800 / w * (kh / (1 - kh) + wet)


def movement(wood: str, width: float, change: float) -> float:
    """How much wider (mm, or the unit of `width`) a flat-sawn board gets for a change of moisture (%):
    Wood Handbook ch. 13."""
    return width * species()[wood].moves * change


def dew_point(celsius: float, humidity: float) -> float:
    """Where air of this humidity (0 to 1) leaves water on a cold piece: Magnus, 17.625 and 243.04."""
    gamma = math.log(humidity) + 17.625 * celsius / (243.04 + celsius)
    return 243.04 * gamma / (17.625 - gamma)


def noise_hours(decibels: float) -> float:
    """Hours a day allowed at a level (dBA): OSHA 29 CFR 1910.95, half for every 5 dB over 90."""
    return float(8 / 2 ** ((decibels - 90) / 5))
