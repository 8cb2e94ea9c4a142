"""Choose a recipe for a part."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList, Static

from shopday.app.dialogs.dialog import Dialog
from shopday.app.widgets.row_list import Row, RowList
from shopday.text.cells import cut

if TYPE_CHECKING:
    from shopday.shop.recipes.recipe_library import Recipe


class RecipeDialog(Dialog["Recipe | None"]):
    CONTENT = ("_recipes",)

    def __init__(self, recipes: Iterable[Recipe]) -> None:
        super().__init__()
        self._recipes = list(recipes)

    def compose_dialog(self) -> ComposeResult:
        with Vertical(id="dialog"):
            yield Static(
                Content("A part made from which recipe? Enter takes it, Escape goes back."), id="title"
            )
            yield RowList(id="recipes")

    def fill(self) -> None:
        self.query_one(RowList).fill([_row(recipe) for recipe in self._recipes])

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(self.query_one(RowList).row_at(event.option_index).subject)


def _row(recipe: Recipe) -> Row:
    def draw(width: int) -> Content:
        name = cut(recipe.name, width)
        return Content.assemble((name, "bold"), ("\n  " + cut(recipe.says, width - 2), "$muted"))

    return Row(recipe.id, draw, subject=recipe)
