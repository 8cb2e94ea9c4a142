"""Functions that expressions in recipes may call: formulas of the trade and values of the material book."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from shopday.shop.materials import formulas
from shopday.shop.models import Material, Shop, Wood
from shopday.shop.recipes.expressions import Function, SumError

USUAL_CELSIUS = 20
"""Common practice: how warm a shop is by day that does not say."""


def functions(materials: Mapping[str, Material], shop: Shop) -> dict[str, Function]:
    """The functions by the names that recipes use; lengths in mm, times in minutes."""
    ask, woods = _Book(materials), {**formulas.species(), **shop.species}
    return {
        "weight": _of_wood(woods, formulas.weight_kg),
        "moves": _of_wood(woods, formulas.movement),
        "hands": formulas.hands,
        "lifters": formulas.lifters,
        "clamps": formulas.clamps,
        "spacing": formulas.clamp_spacing,
        "day_celsius": lambda: shop.temperature.day if shop.temperature else USUAL_CELSIUS,
        "moisture": lambda celsius, humidity: formulas.equilibrium_moisture(celsius, humidity / 100),
        "dew_point": lambda celsius, humidity: formulas.dew_point(celsius, humidity / 100),
        "have": lambda gear: sum(one.count for one in shop.gear if one.id == gear),
        "stages": lambda joints, each, glue: formulas.glue_stages(round(joints), each, ask.closed_time(glue)),
        "slower_glues": ask.slower_glues,
        "pours": lambda depth, resin: formulas.pour_count(depth, ask.deepest(resin)),
        "open_time": ask.open_time,
        "closed_time": ask.closed_time,
        "clamp_time": ask.clamp_time,
        "light_time": ask.light_time,
        "hard_time": lambda glue: sum(wait.takes for wait in ask.of(glue).waits if not wait.informs),
        "wait_time": ask.wait_time,
        "most_litres": lambda resin: ask.of(resin).most_litres or 1000,
        "most_humidity": lambda finish: ask.of(finish).most_humidity or 100,
        "deepest": ask.deepest,
        "dwell": lambda finish: ask.of(finish).dwell or 0,
        "buff_within": lambda finish: ask.of(finish).buff_within or 0,
        "handle": lambda finish: ask.of(finish).handle or 0,
        "pot_life": lambda material: ask.of(material).pot_life or 0,
    }


class _Book:
    def __init__(self, materials: Mapping[str, Material]) -> None:
        self.materials = materials

    def of(self, name: object) -> Material:
        if not isinstance(name, str) or name not in self.materials:
            raise SumError(f"no material `{name}` in the book")
        return self.materials[name]

    def open_time(self, glue: object) -> float:
        minutes = self.of(glue).open_time
        if not minutes:
            raise SumError(f"`{glue}` gives no open_time in the book")
        return minutes

    def closed_time(self, glue: object) -> float:
        """Minutes from the first spread face to full pressure."""
        return self.of(glue).closed_time or self.open_time(glue)

    def slower_glues(self, joints: float, each: float, glue: object) -> str:
        """Glues that need fewer stages, with their stages, the fewest first; "none" if there is none."""
        now = formulas.glue_stages(round(joints), each, self.closed_time(glue))
        slower = [
            (formulas.glue_stages(round(joints), each, m.closed_time), m.name or m.id)
            for m in self.materials.values()
            if m.kind == "glue" and m.closed_time
        ]
        found = sorted((stages, name) for stages, name in slower if stages < now)
        return ", ".join(f"{name} {stages}" for stages, name in found[:3]) or "none"

    def light_time(self, glue: object) -> float:
        """Minutes until light work: to the end of the wait "rests", or of all waits."""
        waits = [wait for wait in self.of(glue).waits if not wait.informs]
        names = [wait.name for wait in waits]
        return sum(
            wait.takes for wait in waits[: names.index("rests") + 1 if "rests" in names else len(waits)]
        )

    def wait_time(self, material: object, name: object) -> float:
        """Minutes of a wait by its name; 0 if the material has none of that name."""
        return sum(wait.takes for wait in self.of(material).waits if wait.name == name)

    def clamp_time(self, glue: object) -> float:
        waits = self.of(glue).waits
        return waits[0].takes if waits else 0

    def deepest(self, resin: object) -> float:
        layer = self.of(resin).deepest_layer_mm
        if not layer:
            raise SumError(f"`{resin}` gives no deepest_layer_mm in the book")
        return layer


def _of_wood(
    woods: Mapping[str, Wood],
    sum_of: Callable[[Wood, float, float], float] | Callable[[Wood, float, float, float], float],
) -> Function:
    def asked(wood: object, *sizes: float) -> float:
        if not isinstance(wood, str) or wood not in woods:
            raise SumError(f"no wood `{wood}` in the book")
        return sum_of(woods[wood], *sizes)

    return asked
