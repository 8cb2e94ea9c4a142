"""Help for the screen one is on: what it shows, and every key."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from shopday.app.dialogs.dialog import Dialog


class HelpDialog(Dialog[None]):
    BINDINGS: ClassVar[list[BindingType]] = [Binding("question_mark,enter,q", "dismiss", "Back")]

    CONTENT = ("_title", "_text", "_keys")

    def __init__(self, title: str, text: str, keys: list[tuple[str, str]]) -> None:
        super().__init__()
        self._title, self._text, self._keys = title, text, keys

    def compose_dialog(self) -> ComposeResult:
        with VerticalScroll(id="dialog"):
            yield Static(id="title", markup=False)
            yield Static(id="text", markup=False)
            yield Static(id="keys", markup=False)
            yield Static("Escape goes back.", classes="dim")

    def fill(self) -> None:
        self.query_one("#title", Static).update(self._title)
        self.query_one("#text", Static).update(self._text)
        self.query_one("#keys", Static).update("\n".join(f"{key:>9}  {what}" for key, what in self._keys))

    def on_click(self) -> None:
        self.dismiss(None)
