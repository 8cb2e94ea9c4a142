"""Reads the files of recipes: those of the book, and the shop's own with every fault and its line."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from pydantic import ValidationError

from shopday.shop.book_tables import BOOK
from shopday.shop.faults import Fault, ShopFaults
from shopday.shop.folder import RECIPES_FOLDER
from shopday.shop.loading.error_text import objection
from shopday.shop.loading.toml_files import read_toml
from shopday.shop.loading.toml_positions import TomlPositions
from shopday.shop.recipes.recipe_model import Recipe


def builtin_texts() -> dict[str, str]:
    """The files of the book's recipes as written, by id."""
    files = sorted((BOOK / RECIPES_FOLDER).glob("*.toml"))
    return {file.stem: file.read_text(encoding="utf-8") for file in files}


@cache
def builtin_recipes() -> Mapping[str, Recipe]:
    """Every recipe of the book by id, in the order of their names."""
    texts = builtin_texts().items()
    read = [
        (key, parsed_recipe(key, TomlPositions(f"{key}.toml", text, tomllib.loads(text)), own=False))
        for key, text in texts
    ]
    return dict(sorted(read, key=lambda entry: entry[1].name))


def own_recipes(folder: Path) -> dict[str, Recipe]:
    """The shop's own recipes by id. Raises ShopFaults with every fault of every file."""
    found: dict[str, Recipe] = {}
    faults: list[Fault] = []
    files = (folder / RECIPES_FOLDER).glob("*.toml")
    for path in sorted(path for path in files if not path.name.startswith(".")):
        try:
            found[path.stem] = _own(path, folder)
        except ShopFaults as error:
            faults += error.faults
    if faults:
        raise ShopFaults(faults)
    return found


def _own(path: Path, folder: Path) -> Recipe:
    """A recipe of the shop, checked. Raises ShopFaults."""
    from shopday.shop.recipes.recipe_schema import Shape  # 40 ms, and few shops have recipes of their own

    written = read_own(path.stem, folder)
    try:
        Shape.model_validate(written.data)
    except ValidationError as error:
        found = [objection(item, written.data, Shape) for item in error.errors(include_url=False)]
        raise ShopFaults(Fault(written.name, written.line(o.path), o.wrong, o.right) for o in found) from None
    return parsed_recipe(path.stem, written, own=True)


def read_own(recipe_id: str, folder: Path) -> TomlPositions:
    """The contents of a recipe of the shop."""
    name = f"{RECIPES_FOLDER}/{recipe_id}.toml"
    return read_toml(folder / name, name, inside=folder)


def parsed_recipe(recipe_id: str, written: TomlPositions, own: bool) -> Recipe:
    """The recipe in a sound file."""
    return Recipe.model_validate({**written.data, "id": recipe_id, "own": own})
