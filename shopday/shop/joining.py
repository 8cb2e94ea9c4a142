"""Parts made one by one put together: a finish comes after the pieces it is for."""

from __future__ import annotations

from collections.abc import Sequence

from shopday.shop.making import MadePart
from shopday.shop.models import After, Part
from shopday.shop.recipe_file import Recipe


def joined(made: Sequence[tuple[Recipe, MadePart]]) -> tuple[Part, ...]:
    """The parts of a job in the order chosen: a finish waits for the pieces listed since the finish before it,
    or for that finish where there are none between."""
    parts: list[Part] = []
    pieces: list[Part] = []
    finished = False
    for recipe, made_part in made:
        part = _after(made_part.part, pieces) if recipe.finishing else made_part.part
        pieces = [part] if recipe.finishing or finished else [*pieces, part]
        finished = recipe.finishing
        parts.append(part)
    return tuple(parts)


def _after(part: Part, pieces: Sequence[Part]) -> Part:
    first, *rest = part.steps
    waits_for = tuple(After(step=f"{piece.id}/{piece.steps[-1].id}") for piece in pieces if piece.steps)
    if not waits_for:
        return part
    return part.model_copy(update={"steps": (first.model_copy(update={"after": waits_for}), *rest)})
