"""What a recipe's sums may ask the trade and the material book for."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from shopday.shop.materials import formulas
from shopday.shop.models import Material
from shopday.shop.recipes.expressions import Function, SumError


def functions(materials: Mapping[str, Material]) -> dict[str, Function]:
    """The functions by the names recipes use; lengths in mm, times in minutes."""
    ask = _Book(materials)
    return {
        "weight": _wood(formulas.weight_kg),
        "moves": _wood(formulas.movement),
        "hands": formulas.hands,
        "clamps": formulas.clamps,
        "spacing": formulas.clamp_spacing,
        "moisture": lambda celsius, humidity: formulas.equilibrium_moisture(celsius, humidity / 100),
        "dew_point": lambda celsius, humidity: formulas.dew_point(celsius, humidity / 100),
        "stages": lambda joints, each, glue: formulas.glue_stages(round(joints), each, ask.open_time(glue)),
        "pours": lambda depth, resin: formulas.pour_count(depth, ask.deepest(resin)),
        "open_time": ask.open_time,
        "clamp_time": ask.clamp_time,
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

    def clamp_time(self, glue: object) -> float:
        waits = self.of(glue).waits
        return waits[0].takes if waits else 0

    def deepest(self, resin: object) -> float:
        layer = self.of(resin).deepest_layer_mm
        if not layer:
            raise SumError(f"`{resin}` gives no deepest_layer_mm in the book")
        return layer


def _wood(
    sum_of: Callable[[str, float, float], float] | Callable[[str, float, float, float], float],
) -> Function:
    def asked(wood: object, *sizes: float) -> float:
        if not isinstance(wood, str) or wood not in formulas.species():
            raise SumError(f"no wood `{wood}` in the book")
        return sum_of(wood, *sizes)

    return asked
