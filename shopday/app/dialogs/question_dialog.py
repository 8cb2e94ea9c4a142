"""One question: a few answers to tap, or a line to type."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Input, Static

from shopday.app.dialogs.dialog import Dialog
from shopday.app.widgets.choices import Choice, Choices
from shopday.shop.faults import ShopdayError
from shopday.text.safe import clean

Check = Callable[[str], object]
"""Reads an answer; raises ValueError, which says what would be right."""


class QuestionDialog(Dialog[str | None]):
    """Returns the text of the answer, or None if it was left."""

    CONTENT = ("_title", "_text", "_answers", "_check", "_typed", "_leave")

    def __init__(
        self,
        title: str,
        text: str,
        answers: Sequence[str],
        check: Check | None = None,
        typed: str = "",
        leave: str = "Back",
    ) -> None:
        super().__init__()
        self._title, self._text, self._answers = title, text, tuple(answers)
        self._check, self._typed, self._leave = check, typed, leave

    def compose_dialog(self) -> ComposeResult:
        with VerticalScroll(id="dialog", can_focus=False):
            yield Static(id="title")
            yield Static(id="text")
            yield Input(id="answer", compact=True)
            yield Static(id="wrong")
            yield Choices()

    def fill(self) -> None:
        self.query_one("#title", Static).update(Content(clean(self._title)))
        self.query_one("#text", Static).update(Content(clean(self._text)))
        self.query_one("#wrong", Static).update("")
        line = self.query_one(Input)
        line.value, line.display = self._typed, self._check is not None
        line.disabled = not line.display  # a line that is not shown must not take keys either
        line.action_select_all()
        answers = [Choice(str(place), answer) for place, answer in enumerate(self._answers)]
        typed = [Choice("typed", "OK", "Enter")] if self._check is not None else []
        self.query_one(Choices).offer(*answers, *typed, Choice("leave", self._leave, "Esc"))

    def on_input_submitted(self, event: Input.Submitted) -> None:
        self._take(event.value)

    def _take(self, typed: str) -> None:
        assert self._check is not None
        try:
            self._check(typed)
        except (ValueError, ShopdayError) as error:
            self.query_one("#wrong", Static).update(Content(clean(str(error))))
            self.query_one(Input).action_select_all()  # the next answer replaces the refused one
        else:
            self.dismiss(typed)

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        if event.id == "typed":
            self._take(self.query_one(Input).value)
            return
        self.dismiss(None if event.id == "leave" else self._answers[int(event.id)])
