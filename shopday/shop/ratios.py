"""The ratio of a two-part mix as a label gives it, and amounts that keep it.

A mix off its ratio never cures and leaves free hardener, so amounts are rounded up to what a syringe or a scale
shows, and never each part separately.
"""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from shopday.shop.quantities import shown
from shopday.text.wrong_input import WrongInput

TOLERANCE = 0.005
"""The share by which a part may miss the ratio: half a per cent, well within what labels allow (common practice)."""

_RATIO = re.compile(r"([0-9.]+(?:\s*:\s*[0-9.]+)+)(?:\s+by\s+(volume|weight))?", re.ASCII)


class Ratio(NamedTuple):
    """The parts on the label, by volume or by weight."""

    parts: tuple[float, ...]
    by_weight: bool = False

    def __str__(self) -> str:
        return f"{':'.join(f'{part:g}' for part in self.parts)} by {'weight' if self.by_weight else 'volume'}"


def ratio_of(text: str) -> Ratio:
    """The ratio in "3:1", "3:1 by volume" or "100:44 by weight". Raises ValueError."""
    match = _RATIO.fullmatch(text.strip().lower())
    try:
        parts = tuple(float(part) for part in match[1].split(":")) if match else ()
    except ValueError:
        parts = ()
    if not parts or min(parts) <= 0 or max(parts) > 100 * min(parts):
        raise WrongInput(f"{shown(text)} is no ratio of a mix", 'write it as "3:1", or "100:44 by weight"')
    return Ratio(parts, match is not None and match[2] == "weight")


def portioned(amount: float, ratio: Ratio) -> tuple[int, ...]:
    """Whole millilitres (or grams) of each part: the least that reach the amount and keep the ratio."""
    least, total = min(ratio.parts), sum(ratio.parts)
    smallest = max(1, math.ceil(amount * least / total - 1e-9))
    while True:
        exact = [smallest * part / least for part in ratio.parts]
        parts = tuple(map(round, exact))
        true = all(abs(p - e) <= TOLERANCE * e for p, e in zip(parts, exact, strict=True))
        if true and sum(parts) >= amount - 1e-6:
            return parts
        smallest += 1
