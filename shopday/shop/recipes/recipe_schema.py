"""The schema of a recipe before its expressions are evaluated, so that each fault has its line."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field, model_validator

from shopday.shop.base_model import Model, Noted
from shopday.shop.fields import DateTime, Flag, Id, Number
from shopday.shop.loading.error_text import shown_value
from shopday.shop.models import Arrives, Moisture, Only
from shopday.shop.recipes.recipe_model import Recipe, Roles
from shopday.text.wrong_input import WrongInput


def _amount(value: Any) -> Any:
    if isinstance(value, bool) or not isinstance(value, (int, float, str)):
        right = 'write a number, or a sum in quotes such as "45m + 12m * boards"'
        raise WrongInput(f"{shown_value(value)} is no amount", right)
    return value


def _as_after(value: Any) -> Any:
    items = value if isinstance(value, (list, tuple)) else [value]
    return tuple({"step": item} if isinstance(item, str) else item for item in items)


RawAmount = Annotated[Any, BeforeValidator(_amount)]
"""A number, or an expression as text."""


def _yes(value: Any) -> Any:
    return value if isinstance(value, bool) else _amount(value)


Yes = Annotated[Any, BeforeValidator(_yes)]
"""true or false, or an expression that is 0 for false."""


class RawMissed(Model):
    adds: RawAmount
    why: str = ""


class RawAfter(Model):
    step: str
    when: str | None = None
    within: RawAmount = 0


class RawWait(Model):
    name: str
    takes: RawAmount
    spread: tuple[RawAmount, RawAmount] | None = None
    keeps: Any = ()
    still_air: Flag = False
    informs: Flag = False
    cures: Flag = False


class RawNextPass(Model):
    extra: RawAmount = 0
    within: RawAmount = 0
    missed: RawMissed | None = None


class RawFollows(Model):
    when: str = ""
    within: RawAmount = 0
    missed: RawMissed | None = None


class RawInBetween(Model):
    """What is done before a repetition. times: before how many of them, the last ones."""

    id: Id
    name: str = ""
    times: RawAmount = 0
    hands_on: RawAmount = 0
    stations: tuple[str, ...] = ()
    dusty: Flag | None = None
    noisy: Flag | None = None
    minds: tuple[str, ...] = ()
    says: str = ""


class RawAway(Model):
    who: str = ""
    takes: RawAmount


class RawSetup(Model):
    what: str
    takes: RawAmount


class Until(Model):
    name: str
    total: RawAmount
    cures: Flag = False


class RawStep(Noted):
    """A step whose amounts may be expressions, with the fields that only a recipe's step has."""

    id: Id
    name: str = ""
    hands_on: RawAmount = 0
    spread: tuple[RawAmount, RawAmount] | None = None
    hands: RawAmount = 1
    one_sitting: Yes = False
    stations: tuple[str, ...] = ()
    gear: dict[str, RawAmount] = Field(default_factory=dict)
    dusty: Flag | None = None
    noisy: Flag | None = None
    still_air: Flag = False
    room: str | None = None
    after: Annotated[tuple[RawAfter, ...], BeforeValidator(_as_after)] = ()
    within: RawAmount = 0
    missed: RawMissed | None = None
    waits: tuple[RawWait, ...] = ()
    material: str | None = None
    amount_ml: Number | None = None
    spreading: RawAmount = 0
    lifts: RawAmount = 0
    repeat: RawAmount = 1
    follows: RawFollows | None = None
    in_between: RawInBetween | None = None
    each: RawAmount = 1
    tented: RawAmount = 0
    lifts_kg: Number | None = None
    minds: tuple[str, ...] = ()
    costs: RawAmount = 0
    moisture: Moisture | None = None
    setup: RawSetup | None = None
    passes: RawAmount = 1
    next_pass: RawNextPass | None = None
    another_pass: RawAmount = 0
    only: Only | None = None
    on: DateTime | None = None
    away: RawAway | None = None
    arrives: Arrives | None = None
    when: RawAmount = Field(default=1, alias="if")
    says: str = ""
    needs: Roles = ()
    finished: Flag = False
    waits_until: Until | None = None
    recoat: Yes = False
    covers: RawAmount = 0
    litres: RawAmount = 0

    @model_validator(mode="after")
    def _has_material(self) -> RawStep:
        wanting = {"waits_until", "recoat", "covers", "litres"} & self.model_fields_set
        if wanting and self.material is None:
            raise WrongInput(f"a step with `{min(wanting)}` needs `material`", 'add material = "hardwax-oil"')
        return self


class Shape(Recipe):
    steps: tuple[RawStep, ...] = Field(min_length=1, max_length=200)  # type: ignore[assignment]
