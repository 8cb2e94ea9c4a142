"""Why not earlier: the reasons from a step back to now, in whole sentences."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Button, Static

from shopday.shop.plain import clean


class WhyScreen(ModalScreen[None]):
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,w,enter,q", "dismiss", "Back")]

    def __init__(self, title: str, reasons: Sequence[str]) -> None:
        super().__init__()
        self._title, self._reasons = title, reasons

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="card"):
            yield Static(Content(clean(self._title)), id="title")
            yield Static(self._told(), id="reasons")
            with Horizontal(id="buttons"):
                yield Button(Content("Back (Esc)"), compact=True)

    def _told(self) -> Content:
        if not self._reasons:
            return Content("Nothing holds it back.")
        lines = (f"{'↑ ' if i else '• '}{clean(reason)}" for i, reason in enumerate(self._reasons))
        return Content("\n".join(lines))

    def on_button_pressed(self) -> None:
        self.dismiss(None)
