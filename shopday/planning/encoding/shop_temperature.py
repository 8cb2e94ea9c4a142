"""How warm the shop is, minute by minute, and what that does to cures and to glue that needs warmth.

The shop has its day temperature from the first opening of a day to its last closing, and its night temperature
otherwise; a reading the maker logged holds from its minute until the next change between the two.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Iterable
from itertools import pairwise
from typing import NamedTuple

from shopday.scheduler import FOREVER, Calendar, RatedClock
from shopday.shop.models import Material, Temperature
from shopday.text.durations import length_text

RATED_AT = 21.0
DOUBLES_PER = 10.0
"""Degrees Celsius: what a cure without a material is reckoned by."""

GAS_CONSTANT = 8.314462618e-3
"""kJ/(mol K)."""
KELVIN = 273.15
STEEPEST = 12.0
"""Doublings, up or down, beyond which a rate says more about a slip of the pen than about glue."""


class Reading(NamedTuple):
    """What the thermometer showed: minute since the epoch, degrees Celsius."""

    minute: int
    celsius: float


class Cold(NamedTuple):
    """Too cold to work with a material: how warm it is, what it needs (C), and the first minute it will be
    warm enough (None: not as far as the shop's temperatures say)."""

    celsius: float
    lowest: float
    until: int | None


class Hot(NamedTuple):
    """Too warm for a material: how warm it is, what it is made for (C), and the first minute it will be cool enough."""

    celsius: float
    highest: float
    until: int | None


class Warmth(NamedTuple):
    """The shop's temperature as steps: degrees[i] holds from edges[i-1] to edges[i], one more than edges.

    None where nobody said: a cure then takes what its label says, and nothing is too cold.
    """

    edges: tuple[int, ...]
    degrees: tuple[float | None, ...]

    def at(self, minute: int) -> float | None:
        """Degrees Celsius at a minute."""
        return self.degrees[bisect_right(self.edges, minute)]

    def clock(self, material: Material | None = None) -> RatedClock:
        """The clock on which a cure of this material runs, in minutes at its rated temperature."""
        return RatedClock(self.edges, tuple(rate(degrees, material) for degrees in self.degrees))

    def warm(self, lowest: float) -> Calendar:
        """When the shop is at least this warm (C)."""
        return self._when(lambda degrees: degrees >= lowest)

    def cool(self, highest: float) -> Calendar:
        """When the shop is no warmer than this (C)."""
        return self._when(lambda degrees: degrees <= highest)

    def _when(self, holds: Callable[[float], bool]) -> Calendar:
        bounds = pairwise((-FOREVER, *self.edges, FOREVER))
        spans = zip(bounds, self.degrees, strict=True)
        return Calendar.of(span for span, degrees in spans if degrees is None or holds(degrees))

    def too_cold(self, material: Material, minute: int) -> Cold | None:
        """Whether work with the material may not start now, and from when it may."""
        degrees = self.at(minute)
        if material.lowest is None or degrees is None or degrees >= material.lowest:
            return None
        return Cold(degrees, material.lowest, self.warm(material.lowest).open_from(minute))

    def too_hot(self, material: Material, minute: int) -> Hot | None:
        """Whether the shop is warmer than the material is made for, and from when it is not."""
        degrees = self.at(minute)
        if material.highest is None or degrees is None or degrees <= material.highest:
            return None
        return Hot(degrees, material.highest, self.cool(material.highest).open_from(minute))

    def extremes(self, start: int, end: int) -> tuple[float, float] | None:
        """The coldest and the warmest (C) from one minute to a later one; None where nothing is known."""
        within = (start, *(edge for edge in self.edges if start < edge < end))
        known = [degrees for degrees in map(self.at, within) if degrees is not None]
        return (min(known), max(known)) if known else None

    def average(self, start: int, end: int) -> float | None:
        """Mean degrees Celsius from one minute to a later one; None where some of it is unknown."""
        cuts = (start, *(edge for edge in self.edges if start < edge < end), end)
        parts = [(self.at(one), two - one) for one, two in pairwise(cuts)]
        known = [degrees * minutes for degrees, minutes in parts if degrees is not None]
        return sum(known) / (end - start) if start < end and len(known) == len(parts) else None


def warmth(
    temperature: Temperature | None, daytime: Calendar, readings: Iterable[Reading] = ()
) -> Warmth | None:
    """The shop's temperature by day, by night and as it was read; None when nothing is known of it."""
    logged = sorted(readings, key=lambda reading: reading.minute)
    if temperature is None and not logged:
        return None
    changes = [edge for span in daytime.spans for edge in span]
    edges = tuple(sorted({*changes, *(reading.minute for reading in logged)}))
    degrees = [_usual(temperature, daytime, at) for at in (edges[0] - 1 if edges else 0, *edges)]
    for reading in logged:
        first = bisect_right(edges, reading.minute)
        until = bisect_right(changes, reading.minute)
        last = bisect_right(edges, changes[until] - 1) if until < len(changes) else len(edges)
        degrees[first : last + 1] = [reading.celsius] * (last + 1 - first)
    return Warmth(edges, tuple(degrees))


def holds_until(minute: int, daytime: Calendar, readings: Iterable[int] = ()) -> int | None:
    """Until when a reading of this minute holds: the next change between day and night, or the next reading."""
    changes = (edge for span in daytime.spans for edge in span)
    return min((later for later in (*changes, *readings) if later > minute), default=None)


def rate(celsius: float | None, material: Material | None = None) -> float:
    """How much faster than at its rated temperature a film or a joint cures; pot life is another matter.

    2 ^ ((T - R) / D), or Arrhenius where the material gives an activation energy. Above its highest temperature it
    runs away or skins over, and nothing is gained.
    """
    if celsius is None:
        return 1.0
    if material is not None and material.highest is not None:
        celsius = min(celsius, material.highest)
    rated = material.rated_at if material else RATED_AT
    if material is not None and material.activation_kj is not None:
        inverse = 1 / (rated + KELVIN) - 1 / (celsius + KELVIN)
        doublings = material.activation_kj / GAS_CONSTANT * inverse / math.log(2)
    else:
        doublings = (celsius - rated) / (material.doubles_per if material else DOUBLES_PER)
    return float(2 ** max(-STEEPEST, min(STEEPEST, doublings)))


def cure_reason(shop: Warmth, material: Material | None, start: int, end: int, takes: int) -> str | None:
    """Why a cure takes longer or shorter than its label says, in a sentence; None when it does not."""
    mean = shop.average(start, end)
    if mean is None or abs(end - start - takes) < 2:
        return None
    rated = material.rated_at if material else RATED_AT
    change = "slower" if end - start > takes else "faster"
    return (
        f"The shop averages {mean:.0f} C and the label counts on {rated:.0f} C: "
        f"{change}, {length_text(end - start)} instead of {length_text(takes)}."
    )


def _usual(temperature: Temperature | None, daytime: Calendar, minute: int) -> float | None:
    if temperature is None:
        return None
    return temperature.day if daytime.span_at(minute) else temperature.night
