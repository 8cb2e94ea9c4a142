"""Recipes for new parts: the book's and the shop's own, a part made from one, a finished job kept as one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from shopday.shop.faults import Fault, ShopFaults, suggest
from shopday.shop.models import Material, Shop
from shopday.shop.recipes.combine_parts import after_all, joined
from shopday.shop.recipes.gates import behind_gates, gate_part
from shopday.shop.recipes.make_part import CannotMake, MadePart, bought_part, make_part, parameters_of
from shopday.shop.recipes.parameters import choices, default_of
from shopday.shop.recipes.recipe_files import (
    builtin_recipes,
    builtin_texts,
    own_recipes,
    read_own,
)
from shopday.shop.recipes.recipe_model import Parameter, Recipe, as_names
from shopday.shop.recipes.recipe_writer import save_recipe

__all__ = [
    "CannotMake",
    "MadePart",
    "Parameter",
    "Recipe",
    "after_all",
    "behind_gates",
    "bought_part",
    "builtin_texts",
    "choices",
    "default_of",
    "gate_part",
    "joined",
    "make_part",
    "parameters_of",
    "recipe_faults",
    "recipes",
    "save_recipe",
]  # fmt: skip


def recipes(folder: Path | None = None) -> dict[str, Recipe]:
    """Every recipe by id; the shop's own first, replacing built-in ones of the same name.

    Raises ShopFaults with the faults of the shop's files.
    """
    own = own_recipes(folder) if folder else {}
    known = {**own, **{key: recipe for key, recipe in builtin_recipes().items() if key not in own}}
    if folder and (faults := tuple(_needing_nothing_known(folder, own, known))):
        raise ShopFaults(faults)
    return known


def recipe_faults(folder: Path, shop: Shop, materials: Mapping[str, Material]) -> tuple[Fault, ...]:
    """The faults of the shop's own recipes: files that cannot be read, parts that cannot be made."""
    try:
        own = [recipe for recipe in recipes(folder).values() if recipe.own]
    except ShopFaults as error:
        return error.faults
    return tuple(fault for recipe in own if (fault := _trial(folder, recipe, shop, materials)))


def _needing_nothing_known(
    folder: Path, own: Mapping[str, Recipe], known: Mapping[str, Recipe]
) -> Iterator[Fault]:
    """A fault for each step of the shop's recipes that needs what no recipe makes; it would wait for nothing."""
    made = {role for recipe in known.values() for role in recipe.makes}
    for recipe in own.values():
        for place, step in enumerate(recipe.steps):
            for role in as_names(step.get("needs", ())):
                if role not in made:
                    written = read_own(recipe.id, folder)
                    right = suggest(role, sorted(made), f'add makes = "{role}" to the recipe that makes it')
                    line = written.line(("steps", place, "needs"))
                    yield Fault(written.name, line, f"`needs`: no recipe makes `{role}`", right)


def _trial(folder: Path, recipe: Recipe, shop: Shop, materials: Mapping[str, Material]) -> Fault | None:
    try:
        make_part(recipe, "part", {}, shop, materials)
    except CannotMake as error:
        written = read_own(recipe.id, folder)
        return Fault(
            written.name, written.line(error.where), f"with its defaults: {error.wrong}", error.right
        )
    return None
