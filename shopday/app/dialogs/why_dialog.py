"""Why a step does not start earlier: the reasons back to now in whole sentences, and what would help most."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from shopday.app.dialogs.dialog import Dialog
from shopday.app.session_messages import QuestionAnswered
from shopday.app.widgets.choices import Choice, Choices
from shopday.text.durations import length_text
from shopday.text.safe import clean, clean_lines

if TYPE_CHECKING:
    from shopday.planning.whatif.ranking import HelpfulChange

LOOKING = "looking..."
NONE_HELPS = "Nothing that was tried gains a day."


class WhyDialog(Dialog[None]):
    """Shows reasons and helpful changes. ask: has the planner work them out; it posts its answers here."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("w,q", "dismiss", "Back")]

    CONTENT = ("_title", "_ask")

    def __init__(self, title: str, ask: Callable[[WhyDialog], None]) -> None:
        super().__init__()
        self._title, self._ask = title, ask

    def compose_dialog(self) -> ComposeResult:
        with VerticalScroll(id="dialog"):
            yield Static(id="title")
            yield Static(id="reasons")
            yield Static(Content("\nWhat would help most").stylize("bold $accent"), id="help-head")
            yield Static(id="helps")
            yield Choices()

    def fill(self) -> None:
        self.query_one("#title", Static).update(Content(clean(self._title)))
        for looked_for in ("#reasons", "#helps"):
            self.query_one(looked_for, Static).update(LOOKING)
        self.query_one(Choices).offer(Choice("leave", "Back", "Esc"))
        self._ask(self)

    def on_question_answered(self, message: QuestionAnswered) -> None:
        """Show the reasons, then every helpful change found so far, or why there will be none."""
        answer = message.answer
        reasons = self.query_one("#reasons", Static)
        if answer.reasons:
            lines = (f"{'↑ ' if i else '• '}{clean(reason)}" for i, reason in enumerate(answer.reasons))
            reasons.update(Content("\n".join(lines)))
        elif answer.trouble and reasons.content == LOOKING:
            reasons.update("")
        if answer.helps or answer.last:
            told = [_help(help) for help in answer.helps] or [answer.trouble or NONE_HELPS]
            self.query_one("#helps", Static).update(Content(clean_lines(told)))

    def on_choices_chosen(self) -> None:
        self.dismiss(None)


def _help(help: HelpfulChange) -> str:
    """How much earlier a change delivers the job."""
    return f"• {length_text(help.job or 0)} earlier: {help.text}"
