"""Choose a recipe for a part."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from textual.content import Content

from shopday.app.dialogs.find_dialog import FindDialog
from shopday.app.widgets.row_list import Row
from shopday.text.cells import wrapped

if TYPE_CHECKING:
    from shopday.shop.recipes.recipe_library import Recipe


class RecipeDialog(FindDialog["Recipe | None"]):
    CONTENT = ("_recipes",)
    heading = "A part made from which recipe?"

    def __init__(self, recipes: Iterable[Recipe]) -> None:
        super().__init__()
        self._recipes = list(recipes)

    def rows(self, wanted: str) -> Iterator[Row]:
        """Those come first whose name begins with the text, then those with it in their name."""
        places = ((f"{it.name}\n{it.says}".lower().find(wanted), it) for it in self._recipes)
        found = sorted((found for found in places if found[0] >= 0), key=lambda found: found[0])
        return (_row(recipe) for _, recipe in found)

    def pick(self, row: Row) -> None:
        self.dismiss(row.subject)


def _row(recipe: Recipe) -> Row:
    def draw(width: int) -> Content:
        name, says = wrapped(recipe.name, width), wrapped(recipe.says, width - 2, 2)
        return Content.assemble((name, "bold"), (f"\n  {says}", "$muted"))

    return Row(recipe.id, draw, subject=recipe)
