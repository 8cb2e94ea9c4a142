"""A recipe as a maker reads and changes it: parameters, sums worked out from them, and steps like a job's.

recipes/NAME.toml, of the book or of a shop; NAME is the recipe's id. The steps are written as in a job file;
where a job has an amount a recipe may have a sum, and {name} in a text is filled in. A recipe's step may also
have: `if` (a sum; the step is left out when it is 0), `says` (a reason shown), `stations` and gear by role, with a
second choice ("cure-shelf|bench"), `covers` (square metres) or `litres` that a pass takes of its material,
`waits_until` (the material's waits, and one more until a total is reached) and `recoat` (it follows coats of
another step, so the material's window holds) and `needs` (other parts of the job it waits for, by what their
recipes say they make).
"""

from __future__ import annotations

import tomllib
from importlib.resources import files
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, ValidationError

from shopday.shop.faults import Fault, ShopFaults
from shopday.shop.fields import Id
from shopday.shop.loading.error_text import objection
from shopday.shop.loading.toml_files import read_toml
from shopday.shop.loading.toml_positions import TomlPositions
from shopday.shop.models import Model

RECIPES_FOLDER = "recipes"

Name = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$", max_length=40)]
ParameterKind = Literal["number", "species", "glue", "resin", "finish", "choice"]
Sum = int | float | str


def as_names(value: Any) -> Any:
    """One name may stand without a list."""
    return (value,) if isinstance(value, str) else value


Roles = Annotated[tuple[Id, ...], BeforeValidator(as_names)]
"""What parts are in a piece: "top", "base", "case"."""


class Parameter(Model):
    """One thing a maker knows. `kind` other than "number": an id of the book, or one of `choices`."""

    id: Name
    name: str
    kind: ParameterKind = "number"
    unit: str = ""
    default: float | str
    least: float = 0
    most: float = 100_000
    choices: tuple[str, ...] = ()
    help: str = ""


class Worked(Model):
    """A value worked out from the parameters and the values before it; `says` shows the reasoning."""

    id: Name
    sum: Sum = Field(alias="is")
    says: str = ""
    when: Sum = Field(default=1, alias="if")


class Recipe(Model):
    """`own`: the shop's, not the book's; `makes`: what its part is, for steps of others that need such a part;
    `finishing`: a finish for the pieces before it. Steps stay as written until a part is made."""

    id: str = ""
    name: str
    says: str = ""
    own: bool = False
    makes: Roles = ()
    finishing: bool = False
    parameters: tuple[Parameter, ...] = ()
    values: tuple[Worked, ...] = ()
    steps: tuple[dict[str, Any], ...] = Field(min_length=1, max_length=200)


def builtin_texts() -> dict[str, str]:
    """The files of the book's recipes as written, by id."""
    folder = files("shopday.shop").joinpath("book", RECIPES_FOLDER)
    entries = sorted(folder.iterdir(), key=lambda entry: entry.name)
    return {
        entry.name.removesuffix(".toml"): entry.read_text(encoding="utf-8")
        for entry in entries
        if entry.name.endswith(".toml")
    }


def builtin_recipes() -> dict[str, Recipe]:
    """Every recipe of the book by id, in the order of their names."""
    texts = builtin_texts().items()
    read = [
        (key, parsed_recipe(key, TomlPositions(f"{key}.toml", text, tomllib.loads(text)), own=False))
        for key, text in texts
    ]
    return dict(sorted(read, key=lambda entry: entry[1].name))


def own_recipes(folder: Path) -> dict[str, Recipe]:
    """The shop's own recipes by id; raises ShopFaults with every fault of every file."""
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
    """A recipe of the shop, looked through for slips; raises ShopFaults."""
    from shopday.shop.recipes.recipe_schema import Shape

    written = read_own(path.stem, folder)
    try:
        Shape.model_validate(written.data)
    except ValidationError as error:
        found = [objection(item, written.data, Shape) for item in error.errors(include_url=False)]
        raise ShopFaults(Fault(written.name, written.line(o.path), o.wrong, o.right) for o in found) from None
    return parsed_recipe(path.stem, written, own=True)


def read_own(recipe_id: str, folder: Path) -> TomlPositions:
    """What stands in a recipe of the shop."""
    name = f"{RECIPES_FOLDER}/{recipe_id}.toml"
    return read_toml(folder / name, name, inside=folder)


def parsed_recipe(recipe_id: str, written: TomlPositions, own: bool) -> Recipe:
    """The recipe in a sound file."""
    return Recipe.model_validate({**written.data, "id": recipe_id, "own": own})
