"""A list to pick one or several entries from, searched by typing."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input, OptionList, Static

from shopday.app.dialogs.dialog import Dialog
from shopday.app.widgets.choices import Choice, Choices
from shopday.app.widgets.pick_line import Pickable
from shopday.app.widgets.row_list import Row, RowList
from shopday.text import signs
from shopday.text.cells import cut
from shopday.text.safe import clean


class PickDialog(Dialog[tuple[str, ...] | None]):
    """Returns what was picked, in the order of the list, or None if it was left."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "move(-1)", show=False),
        Binding("down", "move(1)", show=False),
    ]

    def __init__(self, title: str, pickable: Pickable, picked: Sequence[str], many: bool) -> None:
        super().__init__()
        self._title, self._pickable, self._many = title, pickable, many
        self._picked = set(picked)

    def compose_dialog(self) -> ComposeResult:
        with Vertical(id="dialog"):
            yield Static(id="title")
            yield Input(id="find", compact=True, placeholder="type to find; Enter picks")
            yield RowList(id="options")
            yield Choices()

    def fill(self) -> None:
        self.query_one("#title", Static).update(Content(clean(self._title)))
        take = [Choice("take", "Take these", "Tab, Enter")] if self._many else []
        self.query_one(Choices).offer(*take, Choice("leave", "Back", "Esc"))
        self._show()

    def _show(self) -> None:
        wanted = self.query_one("#find", Input).value.strip().lower()
        rows = [self._row(value, name) for value, name in self._pickable if wanted in name.lower()]
        self.query_one(RowList).fill(rows, next(iter(self._picked), ""))

    def _row(self, value: str, name: str) -> Row:
        mark = signs.DONE if value in self._picked else " "
        return Row(value, lambda width: Content(f"{mark} {cut(name, width - 2)}"))

    def on_input_changed(self) -> None:
        self._show()

    def on_input_submitted(self) -> None:
        self._pick()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self._pick()

    def action_move(self, by: int) -> None:
        rows = self.query_one(RowList)
        (rows.action_cursor_down if by > 0 else rows.action_cursor_up)()

    def _pick(self) -> None:
        row = self.query_one(RowList).current
        if row is None:
            return
        if not self._many:
            self.dismiss((row.key,))
            return
        self._picked ^= {row.key}
        self._show()

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        taken = tuple(value for value, _ in self._pickable if value in self._picked)
        self.dismiss(taken if event.id == "take" else None)
