"""Makes a part from a recipe and a few numbers, and tells the reasons."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from pydantic import ValidationError

from shopday.shop.faults import ShopdayError, suggest
from shopday.shop.loading.error_text import objection
from shopday.shop.loading.toml_positions import Path
from shopday.shop.materials.cautions import DEFER, cautions_for
from shopday.shop.materials.material_book import LABEL_RULES
from shopday.shop.materials.mixing import Mix, mixes
from shopday.shop.measures import amount_in, worded
from shopday.shop.models import Arrives, Gear, Material, Part, Shop, Station, Step
from shopday.shop.recipes.expressions import SumError, Value, as_number, work_out
from shopday.shop.recipes.parameters import checked, default_of, limits_text
from shopday.shop.recipes.recipe_functions import functions
from shopday.shop.recipes.recipe_model import Parameter, Recipe, as_names
from shopday.shop.recipes.repeating import in_sittings, repeated, sitting_count
from shopday.shop.recipes.step_template import Filler, filled


@dataclass(frozen=True, slots=True)
class MadePart:
    """A part ready for a job: why it is as it is, what to have for it, and what to mind.

    needs:    for its steps that need other parts of the job, by id: what those make.
    late:     its steps that come after its finish, if there is one.
    measures: the numbers it was made from and with, such as its kilograms; none for a finish.
    """

    part: Part
    reasons: tuple[str, ...]
    mix: tuple[Mix, ...]
    cautions: tuple[str, ...]
    needs: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    measures: Mapping[str, float] = field(default_factory=dict)
    late: tuple[str, ...] = ()


def make_part(
    recipe: Recipe,
    part_id: str,
    values: Mapping[str, Value],
    shop: Shop,
    materials: Mapping[str, Material],
) -> MadePart:
    """The part that a recipe gives for these values (missing ones have their defaults).

    Raises ShopdayError with a line that names the parameter or the step to change.
    """
    making = _Making(recipe, shop, materials)
    making.take(values)
    return making.part(part_id)


def bought_part(
    recipe: Recipe,
    part_id: str,
    values: Mapping[str, Value],
    arrives: Arrives,
    shop: Shop,
    materials: Mapping[str, Material],
) -> MadePart:
    """The same part bought: it arrives, and only those steps of the recipe remain that need another part, such as
    hanging a door.

    values: for those of `parameters_of` the recipe that a bought part has. Raises ShopdayError like `make_part`.
    """
    making = _Making(recipe, shop, materials)
    making.take(values)
    making.reasons.clear()  # reasons concern the making
    return making.part(part_id, arrives)


def parameters_of(recipe: Recipe, bought: bool) -> tuple[Parameter, ...]:
    """The parameters of a part; for a bought part, those that its remaining steps are computed from."""
    if not bought:
        return recipe.parameters
    used = {name for raw in recipe.steps if "needs" in raw for name in _NAME.findall(str(raw))}
    for worked in reversed(recipe.values):
        if worked.id in used:
            used |= set(_NAME.findall(str(worked.sum)))
    return tuple(parameter for parameter in recipe.parameters if parameter.id in used)


_NAME = re.compile(r"[a-z][a-z0-9_]*")
BOUGHT = "bought"
"""The id of the step in which a bought part arrives."""


class CannotMake(ShopdayError):
    """A recipe gives no part. where: the place in its file."""

    def __init__(self, wrong: str, right: str, where: Path) -> None:
        super().__init__(wrong, right)
        self.where = where


def _nearest(parameter: Parameter, given: float, least: float, most: float) -> tuple[float, float]:
    """The limit that was passed, alone; that of boards is a whole number."""
    if given < least:
        return (math.ceil(least - 1e-9) if parameter.whole else least, math.inf)
    return (-math.inf, math.floor(most + 1e-9) if parameter.whole else most)


def _without_window(raw: Mapping[str, Any]) -> dict[str, Any]:
    """The step of a bought part without its window, as the steps that it counts from are gone."""
    return {key: value for key, value in raw.items() if key not in ("within", "missed")}


@dataclass
class _Making:
    recipe: Recipe
    shop: Shop
    materials: Mapping[str, Material]
    names: dict[str, Value] = field(default_factory=dict)
    reasons: list[str] = field(default_factory=list)
    cautions: list[str] = field(default_factory=list)
    labels: bool = False
    filler: Filler = field(init=False)

    def __post_init__(self) -> None:
        self.filler = Filler(self.names, functions(self.materials, self.shop), self.materials)

    def take(self, values: Mapping[str, Value]) -> None:
        known = [parameter.id for parameter in self.recipe.parameters]
        for name in values:
            if name not in known:
                raise ShopdayError(f"recipe {self.recipe.name} has no `{name}`", suggest(name, known))
        for place, parameter in enumerate(self.recipe.parameters):
            given = values.get(parameter.id, default_of(parameter, self.shop))
            with self._at("parameters", place):
                self.names[parameter.id] = checked(parameter, given, self.materials, self.shop)
        self._keep_limits()
        for place, worked in enumerate(self.recipe.values):
            with self._at("values", place):
                self.names[worked.id] = work_out(str(worked.sum), self.names, self.filler.functions)
                if worked.says and self.filler.holds(worked.when):
                    self.reasons.append(self.filler.text(worked.says))

    def _keep_limits(self) -> None:
        """Refuse impossible pieces at their parameter, with the limit and the reason."""
        places = {parameter.id: place for place, parameter in enumerate(self.recipe.parameters)}
        for place, limit in enumerate(self.recipe.limits):
            with self._at("limits", place):
                least, most = (self._limit(limit.least, -math.inf), self._limit(limit.most, math.inf))
                given = self.names.get(limit.parameter)
                if limit.parameter not in places or not isinstance(given, (int, float)):
                    raise SumError(
                        f"no number `{limit.parameter}` to limit; {suggest(limit.parameter, places)}"
                    )
            if not least - 1e-9 <= given <= most + 1e-9:
                parameter = self.recipe.parameters[places[limit.parameter]]
                give = limits_text(*_nearest(parameter, given, least, most), parameter.unit, self.shop.units)
                told = amount_in(given, parameter.unit, self.shop.units)
                raise CannotMake(
                    f"{parameter.name}: {told} is out of reach",
                    ", ".join(filter(None, (f"give {give}", limit.why))),
                    ("parameters", places[limit.parameter]),
                )

    def _limit(self, text: Any, otherwise: float) -> float:
        return otherwise if text is None else as_number(text, self.names, self.filler.functions)

    def part(self, part_id: str, arrives: Arrives | None = None) -> MadePart:
        """The part. arrives: it is bought."""
        kept: list[tuple[int, dict[str, Any]]] = []
        for place, raw in enumerate(self.recipe.steps):
            with self._at("steps", place):
                if self.filler.holds(raw.get("if", 1)):
                    kept += ((place, one) for one in self._expanded(raw))
        if arrives:
            kept = [(place, _without_window(raw)) for place, raw in kept if "needs" in raw]
        left_out = {str(raw.get("id")) for raw in self.recipe.steps} - {str(raw.get("id")) for _, raw in kept}
        steps = [Step(id=BOUGHT, name=arrives.what, arrives=arrives)] if arrives else []
        for place, raw in kept:
            with self._at("steps", place):
                steps.append(self._step(raw, steps, left_out))
        try:
            name = arrives.what if arrives else self.recipe.name
            part = Part(id=part_id, name=name, recipe=self.recipe.id or None, steps=tuple(steps))
        except ValidationError:
            raise ShopdayError(f"`{part_id}` cannot name a part", "use a-z, 0-9 and -") from None
        mix = mixes(((step, step.passes) for step in steps), self.materials)
        reasons = (*self.reasons, LABEL_RULES) if self.labels else self.reasons
        needs = {str(raw["id"]): as_names(raw["needs"]) for _, raw in kept if "needs" in raw}
        late = tuple(str(raw["id"]) for _, raw in kept if raw.get("finished"))
        numbers = {name: float(v) for name, v in self.names.items() if isinstance(v, (int, float))}
        measures = {} if self.recipe.finishing else numbers
        said = (worded(reason, self.shop.units) for reason in reasons)
        return MadePart(part, _once(said), mix, _deferring(self.cautions), needs, measures, late)

    def _expanded(self, raw: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
        """The step as often as it is repeated, each in as many sittings as it takes."""
        times, between = self.filler.count(raw.get("repeat", 1)), raw.get("in_between", {"times": 0})
        gaps = self.filler.count(between.get("times", times - 1))
        for one in repeated(raw, times, min(gaps, times - 1)):
            yield from in_sittings(one, self._sittings(one))

    def _sittings(self, raw: Mapping[str, Any]) -> int:
        longest = self.filler.minutes(self.recipe.sitting)
        work = self.filler.minutes(raw.get("hands_on", 0))
        if not 0 < longest < work or "passes" in raw or self.filler.holds(raw.get("one_sitting", 0)):
            return 1
        return sitting_count(work, longest, max(1, self.filler.count(raw.get("each", 1))))

    @contextmanager
    def _at(self, group: str, place: int) -> Iterator[None]:
        """Report errors within the block with the place in the recipe's file."""
        try:
            yield
        except SumError as error:
            raise CannotMake(
                f"recipe {self.recipe.name}: {error.wrong}", error.right, (group, place)
            ) from None
        except ShopdayError as error:
            raise CannotMake(error.wrong, error.right, (group, place)) from None

    def _step(self, raw: Mapping[str, Any], before: list[Step], left_out: set[str]) -> Step:
        step_id = str(raw.get("id"))
        if step_id in {step.id for step in before}:
            raise SumError(f"two steps are called `{step_id}`", "give each an id of its own")
        if "says" in raw:
            self.reasons.append(self.filler.text(str(raw["says"])))
        plain = filled(self.filler, raw, before, left_out)
        plain["stations"] = self._stations(raw.get("stations", ()))
        plain["gear"] = self._gear(plain.get("gear", {}))
        if plain.get("hands", 1) == 2 and len(self.shop.people) < 2:
            plain["hands"] = 1
            plain["minds"] = ["two-people", *plain.get("minds", ())]
        try:
            step = Step.model_validate(plain)
        except ValidationError as error:
            first = objection(error.errors(include_url=False)[0], plain, Step)
            raise SumError(f"step `{step_id}`: {first.wrong}", f"{first.right}") from None
        self._mind(step)
        return step

    def _mind(self, step: Step) -> None:
        material = self.materials.get(step.material) if step.material else None
        self.cautions += cautions_for(step, material, self.shop)
        if material is None:
            return
        if material.lowest is not None:
            self.cautions.append(f"{material.name or material.id}: not below {material.lowest:.0f} C.")
        self.labels = True

    def _stations(self, roles: Iterable[Any]) -> list[str]:
        found = [(str(role), _role(str(role), self.shop.stations)) for role in roles]
        self._tell_missing(role for role, thing in found if thing is None)
        return list(dict.fromkeys(thing.id for _, thing in found if thing is not None))

    def _gear(self, wanted: Mapping[str, int]) -> dict[str, int]:
        found: dict[str, int] = {}
        for role, count in wanted.items():
            thing = _role(role, self.shop.gear)
            if thing is None:
                self._tell_missing([role])
            elif count > 0 and thing.count > 0:
                found[thing.id] = min(count, thing.count)
            if isinstance(thing, Gear) and count > thing.count:
                name = thing.name or thing.id.replace("-", " ")
                self.cautions.append(f"It wants {count} {name} and the shop has {thing.count}: borrow some.")
        return found

    def _tell_missing(self, roles: Iterable[str]) -> None:
        for role in roles:
            name = role.replace("|", " or ").replace("-", " ")
            self.reasons.append(f"The shop lists no {name}, so the steps name none.")


def _role(wanted: str, things: Iterable[Station] | Iterable[Gear]) -> Station | Gear | None:
    """The shop's station or gear for a role such as "cure-shelf|bench": by id first, then by the words of its name."""
    have: list[Station | Gear] = list(things)
    for role in wanted.split("|"):
        words = set(role.split("-"))
        exact = [thing for thing in have if thing.id == role]
        alike = [
            thing
            for thing in have
            if words <= set(f"{thing.id}-{thing.name}".lower().replace(" ", "-").split("-"))
        ]
        if exact or alike:
            return (exact or alike)[0]
    return None


def _deferring(cautions: Iterable[str]) -> tuple[str, ...]:
    said = tuple(line for line in _once(cautions) if line != DEFER)
    return (*said, DEFER) if said else ()


def _once(lines: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(lines))
