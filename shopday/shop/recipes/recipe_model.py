"""A recipe as a maker reads and changes it: parameters, values computed from them, and steps like a job's.

recipes/NAME.toml, of the book or of a shop; NAME is the recipe's id. Steps are written as in a job file, but any
amount may be an expression, and {name} in a text is filled in. A recipe's step may also have: `if` (an expression; 0
leaves the step out), `says` (a reason shown), `stations` and gear by role, with a second choice
("cure-shelf|bench"), `covers` (square metres) or `litres` of its material per pass, `waits_until` (the material's
waits, and one more until a total is reached), `repeat` with `follows` and `in_between` (so many steps, when each later one
may follow, and what is done before it), `recoat` (it follows a coat, so the material's window applies), `each` (the
pieces its work counts in, for sittings of whole ones) and `needs` (other parts of the job that it waits for, by what their recipes make).
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from shopday.shop.base_model import Model
from shopday.shop.faults import suggest
from shopday.shop.fields import Id
from shopday.shop.models import Material
from shopday.text.wrong_input import WrongInput

Name = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$", max_length=40)]
ParameterKind = Literal["number", "species", "glue", "resin", "finish", "colour", "filler", "choice"]
Sum = int | float | str


def as_names(value: Any) -> Any:
    """Accept a single name without a list."""
    return (value,) if isinstance(value, str) else value


Roles = Annotated[tuple[Id, ...], BeforeValidator(as_names)]
"""What the parts of a piece are: "top", "base", "case"."""


def _of_a_material(value: Any) -> Any:
    for name in value if isinstance(value, (list, tuple)) else ():
        if name not in Material.model_fields:
            raise WrongInput(f"no field {name!r} of a material", suggest(str(name), Material.model_fields))
    return value


MaterialFields = Annotated[tuple[str, ...], BeforeValidator(_of_a_material)]


class Parameter(Model):
    """One thing that a maker knows.

    kind:           "number", or an id of the book, or one of `choices`.
    whole:          no part of one is possible: boards, coats, workdays.
    wants, without: fields that a material must have, or must not have, to be chosen: an oil that `dwell`s is not
                    brushed.
    from_shop:      the field of shop.toml that replaces the default.
    from_pieces:    the default is the sum of this measure over the pieces it is for.
    """

    id: Name
    name: str
    kind: ParameterKind = "number"
    unit: str = ""
    default: float | str
    least: float = 0
    most: float = 100_000
    whole: bool = False
    choices: tuple[str, ...] = ()
    wants: MaterialFields = ()
    without: MaterialFields = ()
    from_shop: Literal["", "humidity"] = ""
    from_pieces: Name | Literal[""] = ""
    help: str = ""


class Worked(Model):
    """A value computed from the parameters and the values before it; `says` shows the reasoning."""

    id: Name
    sum: Sum = Field(alias="is")
    says: str = ""
    when: Sum = Field(default=1, alias="if")


class Limit(Model):
    """A parameter may not be less, or more, than an expression of parameters. `why` continues "give at most 45 mm,
    "."""

    parameter: Name
    least: Sum | None = None
    most: Sum | None = None
    why: str = ""


class Recipe(Model):
    """A recipe. Its steps stay as written until a part is made.

    own:       it is the shop's, not the book's.
    sitting:   longest hands-on time of a step at once; longer work, unless it is one sitting, is divided equally.
    makes:     what its part is, for steps of others that need such a part.
    finishing: it is a finish for the pieces before it.
    """

    id: str = ""
    name: str
    says: str = ""
    own: bool = False
    sitting: Sum = 0
    makes: Roles = ()
    finishing: bool = False
    parameters: tuple[Parameter, ...] = ()
    limits: tuple[Limit, ...] = ()
    values: tuple[Worked, ...] = ()
    steps: tuple[dict[str, Any], ...] = Field(min_length=1, max_length=200)
