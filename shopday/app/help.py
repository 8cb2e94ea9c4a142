"""Help for the screen one is on: what it shows, and every key."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static


class Help(ModalScreen[None]):
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,question_mark,enter,q", "dismiss", "Back")]

    def __init__(self, title: str, text: str, keys: list[tuple[str, str]]) -> None:
        super().__init__()
        self._title, self._text, self._keys = title, text, keys

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="card"):
            yield Static(Content(self._title), id="title")
            yield Static(Content(self._text))
            yield Static(Content("\n".join(f"{key:>9}  {what}" for key, what in self._keys)), id="keys")
            yield Static(Content("Escape goes back."), classes="dim")

    def on_click(self) -> None:
        self.dismiss(None)
