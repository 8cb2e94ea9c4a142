"""Formulas of the trade: pours, clamps, weight, mixing, moisture and movement. Pure functions, metric units, each with its source.

Lengths in mm, areas in square metres, temperatures in degrees Celsius, moisture in per cent of dry weight,
times in minutes unless said otherwise.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache

from shopday.shop.book_tables import book_table
from shopday.shop.models import Wood

LIFT_ALONE_KG = 23
"""Published: load constant of the NIOSH lifting equation, 1991."""
LONGEST_ALONE_MM = 2400
"""Common practice: longer pieces want a second person whatever they weigh."""
CLAMP_SPACING_MM = (150, 300)
"""Published: a clamp every 6 to 12 inches."""
WASTE = 1.1
"""Common practice: a tenth stays in the cup and on the brush."""
USUAL_COVERAGE = 10.0
"""Common practice: square metres per litre, if a material states none."""


@cache
def species() -> Mapping[str, Wood]:
    """The woods of the book, by id."""
    return {name: Wood(**entry) for name, entry in book_table("species").items()}


# ---------------------------------------------------------------- size, weight, clamps, glue


def weight_kg(wood: Wood, length: float, width: float, thickness: float) -> float:
    """The weight of a board or panel in kg."""
    return wood.kg * length * width * thickness / 1e9


def hands(kilograms: float, longest: float = 0) -> int:
    """1 or 2: whether a second person should take the other end."""
    return 2 if kilograms > LIFT_ALONE_KG or longest > LONGEST_ALONE_MM else 1


def lifters(kilograms: float) -> int:
    """The people needed for a level lift so that nobody carries more than the load constant."""
    return max(1, math.ceil(kilograms / LIFT_ALONE_KG - 1e-9))


def pour_count(depth: float, deepest_layer: float) -> int:
    """How many pours fill a void, none deeper than the material allows."""
    return max(1, math.ceil(depth / deepest_layer - 1e-9))


def clamp_spacing(to_glue_line: float) -> float:
    """Pressure spreads at 45 degrees, so clamps are twice as far apart as the glue line is deep (common practice),
    limited to the published 6 to 12 inches."""
    least, most = CLAMP_SPACING_MM
    return max(least, min(most, 2 * to_glue_line))


def clamps(length: float, to_glue_line: float) -> int:
    """How many clamps press a joint of this length."""
    return max(2, math.ceil(length / clamp_spacing(to_glue_line) - 1e-9))


def glue_stages(joints: int, minutes_each: float, open_time: float) -> int:
    """The number of glue-ups so that no joint stays spread for longer than the glue stays open."""
    at_once = max(1, math.floor(open_time / minutes_each + 1e-9)) if minutes_each > 0 else joints
    return max(1, math.ceil(joints / max(1, at_once)))


# ---------------------------------------------------------------- spreading


def litres_for(area: float, coverage: float) -> float:
    """Litres that cover an area (m2) once at a coverage (m2 per litre), waste included."""
    return area / coverage * WASTE


# ---------------------------------------------------------------- moisture, air, noise


def equilibrium_moisture(celsius: float, humidity: float) -> float:
    """The moisture (%) that wood reaches in air of this humidity (0 to 1): Wood Handbook eq. 4-5, FPL-RN-0268."""
    t, h = celsius, humidity
    w = 349 + 1.29 * t + 0.0135 * t * t
    k = 0.805 + 0.000736 * t - 0.00000273 * t * t
    k1 = 6.27 - 0.00938 * t - 0.000303 * t * t
    k2 = 1.91 + 0.0407 * t - 0.000293 * t * t
    kh = k * h
    wet = (k1 * kh + 2 * k1 * k2 * kh * kh) / (1 + k1 * kh + k1 * k2 * kh * kh)
    return 1800 / w * (kh / (1 - kh) + wet)


def movement(wood: Wood, width: float, change: float) -> float:
    """How much wider (mm, or the unit of `width`) a flat-sawn board becomes by a change of moisture (%): Wood
    Handbook ch. 13."""
    return width * wood.moves * change


def dew_point(celsius: float, humidity: float) -> float:
    """The temperature at which air of this humidity (0 to 1) leaves water on a cold piece: Magnus, 17.625 and
    243.04."""
    gamma = math.log(humidity) + 17.625 * celsius / (243.04 + celsius)
    return 243.04 * gamma / (17.625 - gamma)


def noise_limit(decibels: float) -> float:
    """Hours a day that do not harm hearing at a level (dBA): NIOSH 98-126, 8 h at 85, half for every 3 dB more."""
    return float(8 / 2 ** ((decibels - 85) / 3))


def noise_law(decibels: float) -> float:
    """Hours a day that US law allows at a level (dBA): OSHA 29 CFR 1910.95, 8 h at 90, half for every 5 dB more."""
    return float(8 / 2 ** ((decibels - 90) / 5))
