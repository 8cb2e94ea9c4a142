"""Checks the values given for a recipe's parameters, and lists the values allowed."""

from __future__ import annotations

import math
from collections.abc import Mapping

from shopday.shop.faults import ShopdayError, suggest
from shopday.shop.materials import formulas
from shopday.shop.measures import Units, amount_in, own_unit, read_amount
from shopday.shop.models import Material, Shop
from shopday.shop.recipes.expressions import Value
from shopday.shop.recipes.recipe_model import Parameter
from shopday.text.wrong_input import wrong_and_right


def checked(parameter: Parameter, given: Value, materials: Mapping[str, Material], shop: Shop) -> Value:
    """A parameter's value, of the right kind and within its limits; text is read with its unit, or the shop's."""
    if parameter.kind != "number":
        known = choices(parameter, materials, shop)
        if given not in known:
            raise ShopdayError(
                f"{parameter.name}: no `{given}`", suggest(str(given), known, "choose one of the list")
            )
        return given
    limits = limits_text(parameter.least, parameter.most, parameter.unit, shop.units)
    try:
        value = read_amount(given, parameter.unit, shop.units) if isinstance(given, str) else float(given)
    except ValueError as error:
        wrong, right = wrong_and_right(error)
        raise ShopdayError(f"{parameter.name}: {wrong}", f"{right}, from {limits}") from None
    if not parameter.least - 1e-9 <= value <= parameter.most + 1e-9:
        raise ShopdayError(f"{parameter.name}: {given} is out of reach", f"give {limits}")
    if parameter.whole and value != int(value):
        raise ShopdayError(f"{parameter.name}: {given} is no whole number", f"give one from {limits}")
    return int(value) if value == int(value) else value


def limits_text(least: float, most: float, unit: str, units: Units) -> str:
    """ "6 to 120 mm", in the shop's units; "at most 45 mm" where there is one limit alone."""
    said = [amount_in(limit, unit, units) for limit in (least, most) if math.isfinite(limit)]
    one = "at most " if math.isinf(least) else "at least " if math.isinf(most) else ""
    return f"{one}{' to '.join(said)} {own_unit(unit, units)}".strip()


def default_of(parameter: Parameter, shop: Shop) -> Value:
    """The value if nobody gives one."""
    known = shop.humidity if parameter.from_shop == "humidity" else None
    return parameter.default if known is None else known


def choices(parameter: Parameter, materials: Mapping[str, Material], shop: Shop) -> tuple[str, ...]:
    """The allowed values of a parameter that is not a number."""
    if parameter.kind == "species":
        return tuple({**formulas.species(), **shop.species})
    if parameter.kind == "choice":
        return parameter.choices
    return tuple(id for id, material in materials.items() if _fits(parameter, material))


def _fits(parameter: Parameter, material: Material) -> bool:
    return (
        material.kind == parameter.kind
        and all(getattr(material, name) for name in parameter.wants)
        and not any(getattr(material, name) for name in parameter.without)
    )
