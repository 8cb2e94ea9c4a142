"""Lengths, areas, weights and volumes in common units: read with any unit, shown in the shop's own.

Internally lengths are mm, areas m2 or dm2, weights kg, volumes l or ml, as each parameter says.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Literal

from shopday.shop.quantities import shown
from shopday.text.wrong_input import WrongInput

Units = Literal["metric", "imperial"]

_KINDS: dict[str, dict[str, float]] = {
    "length": {"mm": 1, "cm": 10, "m": 1000, "in": 25.4, '"': 25.4, "ft": 304.8, "'": 304.8},
    "area": {"m2": 1, "dm2": 0.01, "cm2": 0.0001, "ft2": 0.09290304, "in2": 0.00064516},
    "weight": {"g": 0.001, "kg": 1, "lb": 0.45359237, "oz": 0.028349523125},
    "volume": {"ml": 0.001, "l": 1, "fl oz": 0.0295735295625, "qt": 0.946352946, "gal": 3.785411784},
}
"""Each unit in mm, m2, kg or l; pounds, inches and US measures as defined (NIST SP 811)."""

_IMPERIAL = {"mm": "in", "m2": "ft2", "dm2": "ft2", "kg": "lb", "l": "qt", "ml": "fl oz"}
_EXAMPLES = {
    "length": "1800 mm, 1.8 m, 72 in, 6' 2\" or 3 3/4\"", "area": "1.6 m2 or 17 ft2", "weight": "30 kg or 66 lb",
    "volume": "250 ml, 1.5 l or 8 fl oz",
}  # fmt: skip

_NUMBER = r"\d+\s+\d+/\d+|\d+-\d+/\d+|\d+/\d+|\d*[.,]?\d+"
_PIECE = re.compile(rf"\s*({_NUMBER})\s*(fl\.?\s?oz|[a-z]+[2²]?|\"|″|'|′)?\.?", re.IGNORECASE | re.ASCII)
_PLAIN = re.compile(rf"(-?)\s*({_NUMBER})\s*(.*)", re.ASCII)
_THOUSANDS = re.compile(r"(?<![\d.,])[1-9]\d{0,2},\d{3}(?!\d)")
"""A comma that some read as one of thousands and others as a decimal one."""
_OTHER_NAMES = {
    "″": '"', "′": "'", "inch": "in", "inches": "in", "foot": "ft", "feet": "ft", "lbs": "lb", "fl.oz": "fl oz",
    "floz": "fl oz", "fl. oz": "fl oz", "sqft": "ft2", "liter": "l", "litre": "l", "liters": "l", "litres": "l",
}  # fmt: skip
_FIGURE = re.compile(
    r"(?<![\w.])(-?\d+(?:\.\d+)?)(?:( to |-)(\d+(?:\.\d+)?))? (mm|m2|dm2|kg|l|ml|C)\b(?=( below the| warmer| colder)?)"
)
"""A figure or a range of figures with its unit, and the words that mark degrees of difference."""


def read_amount(text: str, unit: str, units: Units) -> float:
    """A number in a parameter's unit, from text with any unit of its kind; without a unit, the shop's is meant.

    Raises ValueError, which says what would be right.
    """
    if doubtful := _THOUSANDS.search(text):
        plain = doubtful[0].replace(",", "")
        right = f"write {plain}, or {doubtful[0].replace(',', '.')}"
        raise WrongInput(f"{shown(text)} may be a thousand or one", right)
    kind = _kind(unit)
    if not kind:
        return _plain(text, unit)
    total = _total(text.strip().removeprefix("-"), kind, own_unit(unit, units))
    if total is None:
        raise WrongInput(f"{shown(text)} is no {kind}", f"write it as {_EXAMPLES[kind]}")
    return (-1 if text.strip().startswith("-") else 1) * total / _KINDS[kind][unit]


def _total(text: str, kind: str, default: str) -> float | None:
    """The sum of pieces such as 6' 2"; None if it is none. One alone may lack its unit, and inches after feet may."""
    known, at, total, before = _KINDS[kind], 0, 0.0, default
    while match := _PIECE.match(text, at):
        if not match[2] and at and before not in ("ft", "'"):
            return None
        named = (match[2] or ("in" if at else default)).lower().replace("²", "2")
        before = _OTHER_NAMES.get(named, named)
        if before not in known:
            return None
        total, at = total + _number(match[1]) * known[before], match.end()
    return total if text and at == len(text) else None


def own_unit(unit: str, units: Units) -> str:
    """The unit in which a shop reads and shows a parameter of this unit."""
    return _IMPERIAL.get(unit, unit) if units == "imperial" else unit


def amount_in(value: float, unit: str, units: Units) -> str:
    """The number as a shop shows it, without its unit; inches are fractions to the sixteenth."""
    own = own_unit(unit, units)
    if own == unit:
        return f"{value:g}"
    kind = _KINDS[_kind(unit)]
    converted = value * kind[unit] / kind[own]
    return _inches(converted) if own == "in" else f"{_three_figures(converted):g}"


def worded(text: str, units: Units) -> str:
    """A sentence with its metric figures in the shop's units."""
    return text if units == "metric" else _FIGURE.sub(_imperial, text)


def _imperial(match: re.Match[str]) -> str:
    first, between, last, unit, apart = match.groups()
    figures = [_imperial_figure(float(figure), unit, apart) for figure in (first, last) if figure]
    return f"{(between or '').join(figures)} {'F' if unit == 'C' else _IMPERIAL[unit]}"


def _imperial_figure(value: float, unit: str, apart: str | None) -> str:
    if unit != "C":
        return amount_in(value, unit, "imperial")
    return f"{value * 1.8 + (0 if apart else 32):.0f}"


def _kind(unit: str) -> str:
    return next((kind for kind, units in _KINDS.items() if unit in units), "")


def _plain(text: str, unit: str) -> float:
    """A number with a fixed unit, which may be left out."""
    match = _PLAIN.fullmatch(text.strip())
    if match is None or match[3] not in ("", unit):
        raise WrongInput(f"{shown(text)} is not a number", "write one in figures")
    return (-1 if match[1] else 1) * _number(match[2])


def _number(text: str) -> float:
    whole, _, part = text.replace(",", ".").replace("-", " ").rpartition(" ")
    numerator, _, denominator = part.partition("/")
    if denominator and not float(denominator):
        raise WrongInput(f"{shown(text)} divides by nothing", "write a fraction as 3/4")
    return float(whole or 0) + float(numerator) / float(denominator or 1)


def _inches(value: float) -> str:
    sixteenths = Fraction(round(abs(value) * 16), 16)
    whole, rest = divmod(sixteenths, 1)
    pieces = [str(whole)] * bool(whole or not rest) + [str(rest)] * bool(rest)
    return "-" * (value < 0 and sixteenths > 0) + " ".join(pieces)


def _three_figures(value: float) -> float:
    return round(value, 2) if abs(value) < 10 else round(value, 1) if abs(value) < 100 else round(value)
