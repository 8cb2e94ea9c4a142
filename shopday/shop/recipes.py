"""Recipes for new parts: the book's and the shop's own, a part made from one, a finished job kept as one."""

from __future__ import annotations

from pathlib import Path

from shopday.shop.making import MadePart, choices, make_part
from shopday.shop.recipe_file import RECIPES_FOLDER, Parameter, Recipe, builtin_recipes, own_recipes
from shopday.shop.recipe_saving import save_recipe

__all__ = [
    "RECIPES_FOLDER", "MadePart", "Parameter", "Recipe", "choices", "make_part", "recipes", "save_recipe",
]  # fmt: skip


def recipes(folder: Path | None = None) -> dict[str, Recipe]:
    """Every recipe by id; the shop's own first, and in place of a built-in one of the same name.

    Raises ShopFaults with the faults of the shop's files.
    """
    own = own_recipes(folder) if folder else {}
    return {**own, **{key: recipe for key, recipe in builtin_recipes().items() if key not in own}}
