"""How warm the shop is, minute by minute, and what that does to cures and to glue that needs warmth.

From the first opening of a day to its last closing the shop has its day temperature, otherwise its night
temperature. A logged reading holds until the next change between the two.
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
"""Degrees Celsius that double the rate of a cure. Used, with RATED_AT, for cures without a material."""

GAS_CONSTANT = 8.314462618e-3
"""kJ/(mol K)."""
KELVIN = 273.15
MOST_DOUBLINGS = 12.0
"""The most doublings or halvings of a rate; anything beyond is a mistake in the data."""


class Reading(NamedTuple):
    """A reading of the thermometer: minute since the epoch, degrees Celsius."""

    minute: int
    celsius: float


class Cold(NamedTuple):
    """The shop is too cold for a material: its temperature, the lowest allowed (C), and the first minute it will be
    warm enough (None: never, by the known temperatures)."""

    celsius: float
    lowest: float
    until: int | None


class Hot(NamedTuple):
    """The shop is too warm for a material: its temperature, the highest allowed (C), and the first minute it will
    be cool enough (None: never, by the known temperatures)."""

    celsius: float
    highest: float
    until: int | None


class Warmth(NamedTuple):
    """The shop's temperature as a step function: degrees[i] holds from edges[i-1] to edges[i].

    None is unknown: a cure then takes what its label says, and nothing is too cold.
    """

    edges: tuple[int, ...]
    degrees: tuple[float | None, ...]

    def at(self, minute: int) -> float | None:
        """Degrees Celsius at a minute; None if unknown."""
        return self.degrees[bisect_right(self.edges, minute)]

    def clock(self, material: Material | None = None) -> RatedClock:
        """The clock of a cure of this material; it counts minutes at the rated temperature."""
        rates = {degrees: rate(degrees, material) for degrees in set(self.degrees)}
        return RatedClock(self.edges, tuple(map(rates.__getitem__, self.degrees)))

    def warm(self, lowest: float) -> Calendar:
        """When the shop is at least this warm (C), or its temperature is unknown."""
        return self._when(lambda degrees: degrees >= lowest)

    def cool(self, highest: float) -> Calendar:
        """When the shop is at most this warm (C), or its temperature is unknown."""
        return self._when(lambda degrees: degrees <= highest)

    def _when(self, holds: Callable[[float], bool]) -> Calendar:
        bounds = pairwise((-FOREVER, *self.edges, FOREVER))
        spans = zip(bounds, self.degrees, strict=True)
        return Calendar.of(span for span, degrees in spans if degrees is None or holds(degrees))

    def too_cold(self, material: Material, minute: int) -> Cold | None:
        """Return Cold if the shop is too cold at a minute to begin work with the material, else None."""
        degrees = self.at(minute)
        if material.lowest is None or degrees is None or degrees >= material.lowest:
            return None
        return Cold(degrees, material.lowest, self.warm(material.lowest).open_from(minute))

    def too_hot(self, material: Material, minute: int) -> Hot | None:
        """Return Hot if the shop is warmer at a minute than the material allows, else None."""
        degrees = self.at(minute)
        if material.highest is None or degrees is None or degrees <= material.highest:
            return None
        return Hot(degrees, material.highest, self.cool(material.highest).open_from(minute))

    def extremes(self, start: int, end: int) -> tuple[float, float] | None:
        """The lowest and the highest temperature (C) between two minutes; None if none is known."""
        within = (start, *(edge for edge in self.edges if start < edge < end))
        known = [degrees for degrees in map(self.at, within) if degrees is not None]
        return (min(known), max(known)) if known else None

    def average(self, start: int, end: int) -> float | None:
        """The mean temperature (C) between two minutes; None if part of it is unknown."""
        cuts = (start, *(edge for edge in self.edges if start < edge < end), end)
        parts = [(self.at(one), two - one) for one, two in pairwise(cuts)]
        known = [degrees * minutes for degrees, minutes in parts if degrees is not None]
        return sum(known) / (end - start) if start < end and len(known) == len(parts) else None


def warmth(
    temperature: Temperature | None, daytime: Calendar, readings: Iterable[Reading] = ()
) -> Warmth | None:
    """The shop's temperature by day, by night and as read; None if nothing is known of it."""
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
    """The minute until which a reading holds: the next change between day and night, or the next reading."""
    changes = (edge for span in daytime.spans for edge in span)
    return min((later for later in (*changes, *readings) if later > minute), default=None)


def rate(celsius: float | None, material: Material | None = None) -> float:
    """How many times faster a film or joint cures than at its rated temperature R; this is not its pot life.

    2 ^ ((T - R) / D), or Arrhenius if the material has an activation energy. Above its highest temperature it runs
    away or skins over, so the rate does not rise further.
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
    return float(2 ** max(-MOST_DOUBLINGS, min(MOST_DOUBLINGS, doublings)))


def cure_reason(shop: Warmth, material: Material | None, start: int, end: int, takes: int) -> str | None:
    """Why a cure takes longer or shorter than its label says, in a sentence; None if it does not."""
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
