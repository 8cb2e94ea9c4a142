"""A list in a dialog, searched by typing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input, OptionList, Static

from shopday.app.dialogs.dialog import Dialog, T
from shopday.app.widgets.row_list import Row, RowList
from shopday.text.safe import clean


class FindDialog(Dialog[T]):
    """Subclasses say what is in the list, and what happens to the row that is picked."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "move(-1)", show=False),
        Binding("down", "move(1)", show=False),
    ]
    heading = ""
    """The first line of the dialog."""

    @property
    def changed(self) -> bool:
        """False: what is typed only searches."""
        return False

    def rows(self, wanted: str) -> Iterator[Row]:
        """The rows in which the text stands, given in small letters; all of them if it is empty."""
        raise NotImplementedError

    def pick(self, row: Row) -> None:
        raise NotImplementedError

    def compose_dialog(self) -> ComposeResult:
        with Vertical(id="dialog"):
            yield Static(id="title")
            yield Input(id="find", compact=True, placeholder="type to find; Enter picks")
            yield RowList(id="found")
            yield from self.compose_below()

    def compose_below(self) -> ComposeResult:
        """Further widgets below the list."""
        yield from ()

    def fill(self) -> None:
        self.query_one("#title", Static).update(Content(clean(self.heading)))
        find = self.query_one("#find", Input)
        find.value = ""
        find.focus()
        self.show()

    def show(self, start: str = "") -> None:
        """Show the rows again. start: the key to begin at."""
        typed = self.query_one("#find", Input).value.strip()
        nothing = Row(
            "", lambda width: Content.styled("Nothing here has that in it.", "$muted"), heading=True
        )
        self.query_one(RowList).fill(list(self.rows(typed.lower())) or [nothing], start)

    def on_input_changed(self) -> None:
        self.show()

    def on_input_submitted(self) -> None:
        self._pick()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self._pick()

    def action_move(self, by: int) -> None:
        rows = self.query_one(RowList)
        (rows.action_cursor_down if by > 0 else rows.action_cursor_up)()

    def _pick(self) -> None:
        """Pick what was found for all that was typed, even if Enter came before it was drawn."""
        if (row := self.query_one(RowList).under_cursor) is not None:
            self.pick(row)
