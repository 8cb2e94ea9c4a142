"""What a change moves, shown before it is kept: in days, with the promises that slip."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Button, Static

from shopday.app.move_words import sentence
from shopday.shop.plain import clean

if TYPE_CHECKING:
    from shopday.planning.changes import Move


class Moved(ModalScreen[bool]):
    """Keep a change, or take it back. Improved plans keep coming in while it is open."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("k,enter", "keep", "Keep"),
        Binding("b,escape", "back", "Take back"),
    ]

    def __init__(self, what: str, moves: Sequence[Move], today: dt.date) -> None:
        super().__init__()
        self._what, self._moves, self._today = what, moves, today

    def compose(self) -> ComposeResult:
        with Vertical(id="card"):
            yield Static(Content(clean(self._what)), id="title")
            with VerticalScroll(id="moves"):
                yield Static(self._told(), id="told")
            with Horizontal(id="buttons"):
                yield Button(Content("Keep it (k)"), id="keep", variant="primary", compact=True)
                yield Button(Content("Take it back (b)"), id="back", compact=True)

    def _told(self) -> Content:
        if not self._moves:
            return Content("No delivery moves. Every job keeps its day.")
        return Content("\n").join(sentence(move, self._today) for move in self._moves)

    def show_moves(self, moves: Sequence[Move]) -> None:
        """A better plan came in while it is open."""
        self._moves = moves
        self.query_one("#told", Static).update(self._told())

    def action_keep(self) -> None:
        self.dismiss(True)

    def action_back(self) -> None:
        self.dismiss(False)

    def on_button_pressed(self, event: Button.Pressed) -> None:
        self.dismiss(event.button.id == "keep")
