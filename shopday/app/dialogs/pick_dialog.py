"""A list to pick one or several entries from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from textual.app import ComposeResult
from textual.content import Content

from shopday.app.dialogs.find_dialog import FindDialog
from shopday.app.widgets.choices import Choice, Choices
from shopday.app.widgets.pick_line import Pickable
from shopday.app.widgets.row_list import Row
from shopday.text import signs
from shopday.text.cells import cut


class PickDialog(FindDialog[tuple[str, ...] | None]):
    """Returns what was picked, in the order of the list, or None if it was left."""

    def __init__(self, title: str, pickable: Pickable, picked: Sequence[str], many: bool) -> None:
        super().__init__()
        self.heading, self._pickable, self._many = title, pickable, many
        self._picked, self._before = set(picked), set(picked)

    @property
    def changed(self) -> bool:
        return self._picked != self._before

    def compose_below(self) -> ComposeResult:
        yield Choices()

    def fill(self) -> None:
        take = [Choice("take", "Take these", "Tab, Enter")] if self._many else []
        self.query_one(Choices).offer(*take, Choice("leave", "Back", "Esc"))
        super().fill()

    def rows(self, wanted: str) -> Iterator[Row]:
        return (self._row(value, name) for value, name in self._pickable if wanted in name.lower())

    def show(self, start: str = "") -> None:
        super().show(start or next(iter(self._picked), ""))

    def _row(self, value: str, name: str) -> Row:
        mark = signs.DONE if value in self._picked else " "
        return Row(value, lambda width: Content(f"{mark} {cut(name, width - 2)}"))

    def pick(self, row: Row) -> None:
        if not self._many:
            self.dismiss((row.key,))
            return
        self._picked ^= {row.key}
        self.show()

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        taken = tuple(value for value, _ in self._pickable if value in self._picked)
        self.dismiss(taken if event.id == "take" else None)
