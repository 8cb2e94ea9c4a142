"""One question: a few answers to tap, or a line to type."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import ItemGrid, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Button, Input, Static

from shopday.shop.faults import ShopdayError
from shopday.shop.plain import clean

Check = Callable[[str], object]
"""Reads an answer; raises ValueError with what would be right."""


class Question(ModalScreen[str | None]):
    """Ends with the answer's text, or None when the question was left."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "dismiss", "Back")]

    def __init__(
        self, title: str, text: str, answers: Sequence[str], check: Check | None = None, typed: str = ""
    ) -> None:
        super().__init__()
        self._title, self._text, self._answers = title, text, tuple(answers)
        self._check, self._typed = check, typed

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="card", can_focus=False):
            yield Static(Content(clean(self._title)), id="title")
            yield Static(Content(clean(self._text)))
            if self._check is not None:
                yield Input(self._typed, id="answer", compact=True)
            yield Static("", id="wrong", markup=False)
            with ItemGrid(min_column_width=16, id="deeds"):
                for place, answer in enumerate(self._answers):
                    yield Button(Content(clean(answer)), id=f"answer-{place}", compact=True)
                yield Button(Content("Back (Esc)"), id="leave", compact=True)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        assert self._check is not None
        try:
            self._check(event.value)
        except (ValueError, ShopdayError) as error:
            self.query_one("#wrong", Static).update(Content(clean(str(error))))
        else:
            self.dismiss(event.value)

    def on_button_pressed(self, event: Button.Pressed) -> None:
        chosen = event.button.id or ""
        self.dismiss(None if chosen == "leave" else self._answers[int(chosen.removeprefix("answer-"))])
