"""Recipes for new parts: the book's and the shop's own, a part made from one, a finished job kept as one."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from shopday.shop.faults import Fault, ShopFaults
from shopday.shop.joining import joined
from shopday.shop.making import CannotMake, MadePart, choices, make_part
from shopday.shop.models import Material, Shop
from shopday.shop.recipe_file import (
    RECIPES_FOLDER,
    Parameter,
    Recipe,
    builtin_recipes,
    builtin_texts,
    own_recipes,
    read_own,
)
from shopday.shop.recipe_saving import save_recipe

__all__ = [
    "RECIPES_FOLDER", "MadePart", "Parameter", "Recipe", "builtin_texts", "choices", "joined", "make_part", "recipe_faults", "recipes", "save_recipe",
]  # fmt: skip


def recipes(folder: Path | None = None) -> dict[str, Recipe]:
    """Every recipe by id; the shop's own first, and in place of a built-in one of the same name.

    Raises ShopFaults with the faults of the shop's files.
    """
    own = own_recipes(folder) if folder else {}
    return {**own, **{key: recipe for key, recipe in builtin_recipes().items() if key not in own}}


def recipe_faults(folder: Path, shop: Shop, materials: Mapping[str, Material]) -> tuple[Fault, ...]:
    """What is wrong with the shop's own recipes: files that cannot be read, parts that cannot be made."""
    try:
        own = own_recipes(folder)
    except ShopFaults as error:
        return error.faults
    return tuple(fault for recipe in own.values() if (fault := _trial(folder, recipe, shop, materials)))


def _trial(folder: Path, recipe: Recipe, shop: Shop, materials: Mapping[str, Material]) -> Fault | None:
    try:
        make_part(recipe, "part", {}, shop, materials)
    except CannotMake as error:
        written = read_own(recipe.id, folder)
        wrong, _, right = str(error).partition("; ")
        return Fault(written.name, written.line(error.where), f"with its defaults: {wrong}", right)
    return None
