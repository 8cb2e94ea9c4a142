"""Fills in a step of a recipe: expressions become amounts and {names} become words; roles are matched to the shop
later."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shopday.shop.materials import formulas
from shopday.shop.models import Material, Step
from shopday.shop.recipes.expressions import Function, SumError, Value, as_number, work_out
from shopday.shop.recipes.repeating import up_to
from shopday.text.durations import minutes_text

DURATIONS = ("hands_on", "within", "takes", "adds", "extra", "spread", "spreading")
COUNTS = ("hands", "passes")
OWN_KEYS = (
    "if",
    "says",
    "waits_until",
    "recoat",
    "covers",
    "litres",
    "lifts",
    "stations",
    "needs",
    "tented",
    "waits_up_to",
    "repeat",
    "follows",
    "in_between",
    "finished",
    "each",
    "coated",
)
"""Fields that only a recipe's step has, or that are matched to the shop elsewhere."""

_WORKDAYS = re.compile(r"(.+?)\s*(workdays?)")
_NAME = re.compile(r"\{([a-z][a-z0-9_]*)\}")


@dataclass(frozen=True)
class Filler:
    names: Mapping[str, Value]
    functions: Mapping[str, Function]
    materials: Mapping[str, Material]

    def holds(self, condition: Any) -> bool:
        if isinstance(condition, bool):
            return condition
        return bool(work_out(str(condition), self.names, self.functions))

    def minutes(self, text: Any) -> int:
        return max(0, math.ceil(as_number(text, self.names, self.functions) - 1e-6))

    def material(self, name: str) -> Material:
        """The material that a parameter names, or the one with that id."""
        key = self.names.get(name, name)
        if not isinstance(key, str) or key not in self.materials:
            raise SumError(f"no material `{key}` in the book")
        return self.materials[key]

    def text(self, text: str) -> str:
        return _NAME.sub(lambda match: self._word(match[1]), text)

    def _word(self, name: str) -> str:
        value = self.names.get(name, f"{{{name}}}")
        if isinstance(value, str):
            material = self.materials.get(value)
            return material.name if material and material.name else value.replace("-", " ")
        return f"{round(value, 1):g}"

    def value(self, key: str, value: Any) -> Any:
        """One field of a step, or of a table in it."""
        if isinstance(value, Mapping):
            inner = {name: self.value(name, item) for name, item in value.items()}
            return {k: self.count(v) for k, v in value.items()} if key == "gear" else inner
        if isinstance(value, (list, tuple)):
            return [self.value(key, item) for item in value]
        return self._plain(key, value)

    def _plain(self, key: str, value: Any) -> Any:
        if key in DURATIONS:
            return self._duration(key, value)
        if key in COUNTS:
            return self.count(value)
        if key == "one_sitting":
            return self.holds(value)
        if key in ("another_pass", "costs"):
            return as_number(value, self.names, self.functions)
        if key == "material":
            return self.material(str(value)).id
        return self.text(value) if isinstance(value, str) else value

    def count(self, value: Any) -> int:
        return round(as_number(value, self.names, self.functions))

    def _duration(self, key: str, value: Any) -> str:
        if isinstance(value, str) and (match := _WORKDAYS.fullmatch(value)):
            return f"{self.count(match[1])} workdays"
        minutes = self.minutes(value)
        if key == "hands_on":
            minutes = 5 * math.ceil(minutes / 5)
        return minutes_text(minutes)


def filled(
    filler: Filler, raw: Mapping[str, Any], before: Sequence[Step], left_out: set[str]
) -> dict[str, Any]:
    """A recipe's step as a job's: everything but its stations."""
    plain = {key: filler.value(key, value) for key, value in raw.items() if key not in OWN_KEYS}
    if "waits_until" in raw and (waits := _extended(filler, raw)):
        plain["waits"] = waits
    if filler.holds(raw.get("tented", 0)) or "waits_up_to" in raw:
        _fewer(filler, plain, raw)
    if "covers" in raw or "litres" in raw:
        plain["amount_ml"] = _amount(filler, raw)
    if "lifts" in raw:
        plain |= _lifted(filler, raw)
    if filler.holds(raw.get("recoat", 0)):
        plain |= _window(filler.material(str(raw.get("coated", raw.get("material")))))
    if "minds" in plain:
        plain["minds"] = [said for said in plain["minds"] if said]
    if "after" in plain:
        _trim_after(filler, plain, before, left_out)
    return plain


def _extended(filler: Filler, raw: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The material's waits and one more until a total is reached: a last coat, a panel that rests. Empty if the
    material's own waits reach it."""
    until = raw["waits_until"]
    waits = filler.material(str(raw["material"])).waits
    working = [wait for wait in waits if not wait.informs]
    left = filler.minutes(until["total"]) - sum(wait.takes for wait in working)
    if left <= 0:
        return []
    more = {"name": until["name"], "takes": minutes_text(left), "cures": until.get("cures", False)}
    told = [wait.model_copy(update={"takes": wait.takes - left}) for wait in waits if wait.informs]
    return [*map(_table, working), more, *(_table(wait) for wait in told if wait.takes > 0)]


def _fewer(filler: Filler, plain: dict[str, Any], raw: Mapping[str, Any]) -> None:
    """Under a tent no wait needs still air; a step that is followed early has no later waits."""
    book = filler.material(str(raw["material"])).waits if "material" in raw else ()
    waits = up_to(plain.get("waits", [*map(_table, book)]), str(raw.get("waits_up_to", "")))
    if filler.holds(raw.get("tented", 0)):
        plain["still_air"] = False
        waits = [{key: value for key, value in wait.items() if key != "still_air"} for wait in waits]
    if "waits" in plain or "material" in raw:
        plain["waits"] = waits


def _amount(filler: Filler, raw: Mapping[str, Any]) -> float:
    """Millilitres for one pass, waste included, rounded up to what a cup shows."""
    material = filler.material(str(raw.get("material")))
    if "litres" in raw:
        litres = as_number(raw["litres"], filler.names, filler.functions) * formulas.WASTE
    else:
        area = as_number(raw["covers"], filler.names, filler.functions)
        litres = formulas.litres_for(area, material.coverage_m2_per_l or formulas.USUAL_COVERAGE)
    return max(5.0, 5.0 * math.ceil(litres * 200 - 1e-6))


def _lifted(filler: Filler, raw: Mapping[str, Any]) -> dict[str, Any]:
    """What is lifted, and by how many people if the recipe does not say."""
    kilograms = round(as_number(raw["lifts"], filler.names, filler.functions), 1)
    hands = {} if "hands" in raw else {"hands": formulas.hands(kilograms)}
    return hands | ({"lifts_kg": float(kilograms)} if kilograms > 0 else {})


def _window(material: Material) -> dict[str, Any]:
    """The window of a coat that follows the coats of another step."""
    if material.within is None:
        return {}
    window: dict[str, Any] = {"within": minutes_text(material.within)}
    if material.missed is not None:
        window["missed"] = {"adds": minutes_text(material.missed.adds), "why": material.missed.why}
    return window


def _table(wait: Any) -> dict[str, Any]:
    table: dict[str, Any] = wait.model_dump(exclude_defaults=True)
    if wait.spread is not None:
        table["spread"] = [minutes_text(wait.spread[0]), minutes_text(wait.spread[1])]
    return {**table, "takes": minutes_text(wait.takes)}


def _trim_after(filler: Filler, plain: dict[str, Any], before: Sequence[Step], left_out: set[str]) -> None:
    """Drop steps that were left out, and waits that this material does not have."""
    written = plain["after"] if isinstance(plain["after"], list) else [plain["after"]]
    entries = [{"step": item} if isinstance(item, str) else dict(item) for item in written]
    kept = [entry for entry in entries if entry.get("step") not in left_out]
    for entry in kept:
        if entry.get("when") not in (None, "hands-off", *_wait_names(filler, entry.get("step"), before)):
            del entry["when"]
    if kept or not entries:
        plain["after"] = kept
    else:
        del plain["after"]


def _wait_names(filler: Filler, step_id: Any, before: Sequence[Step]) -> list[str]:
    step = next((one for one in before if one.id == step_id), None)
    if step is None:
        return []
    if step.waits is not None:
        return [wait.name for wait in step.waits]
    return [wait.name for wait in filler.materials[step.material].waits] if step.material else []
