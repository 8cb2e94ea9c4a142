"""Help for the current screen: what it shows, and every key."""

from __future__ import annotations

from itertools import zip_longest
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from shopday.app.dialogs.dialog import Dialog
from shopday.text.cells import fit, wrapped
from shopday.text.signs import MEANINGS

WIDTH = 72
"""The width of a line in cells."""
KEY = 11
"""Cells of a key and the gap after it."""
SIDES = 6
"""Cells beside the text: the border, the padding and the ground."""


class HelpDialog(Dialog[None]):
    BINDINGS: ClassVar[list[BindingType]] = [Binding("question_mark,enter,q", "dismiss", "Back")]

    CONTENT = ("_title", "_text", "_keys")

    def __init__(self, title: str, text: str, keys: list[tuple[str, str]]) -> None:
        super().__init__()
        self._title, self._text, self._keys = title, text, keys

    def compose_dialog(self) -> ComposeResult:
        with VerticalScroll(id="dialog"):
            yield Static(id="title", markup=False)
            yield Static(id="keys", markup=False)
            yield Static(id="text", markup=False)
            yield Static(_signs(), id="signs", markup=False)

    def fill(self) -> None:
        self.query_one("#title", Static).update(f"{self._title}: help. Escape or a tap goes back.")
        self.query_one("#text", Static).update(self._text)
        self.query_one("#keys", Static).update(_in_columns(self._keys, self._columns, self.room))

    @property
    def _columns(self) -> int:
        """One where the screen is narrow."""
        return 2 if self.app.size.width >= WIDTH + SIDES else 1

    def on_resize(self) -> None:
        self.fill()

    def on_click(self, event: events.Click) -> None:
        self.dismiss(None)


def _in_columns(keys: list[tuple[str, str]], columns: int, room: int) -> str:
    """The keys in one column of this many cells, or in two, read down the first and then the second."""
    if columns == 1:
        return "\n".join(f"{key:>9}  {wrapped(what, room - KEY, KEY)}" for key, what in keys)
    said = [f"{key:>9}  {what}" for key, what in keys]
    half = -(-len(keys) // 2)
    return "\n".join(fit(a, WIDTH // 2) + b for a, b in zip_longest(said[:half], said[half:], fillvalue=""))


def _signs() -> str:
    """What each sign means, in four columns."""
    said = [fit(f"{sign} {means}", WIDTH // 4) for sign, means in MEANINGS.items()]
    return "\n".join("".join(said[n : n + 4]) for n in range(0, len(said), 4))
