"""Why not earlier: the reasons from a step back to now, in whole sentences, and what would help most."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Button, Static

from shopday.app import words
from shopday.shop.plain import clean

if TYPE_CHECKING:
    from shopday.app.planner import Answer
    from shopday.planning.helping import Help

LOOKING = "looking..."
NONE_HELPS = "Nothing tried wins a day."


class WhyScreen(ModalScreen[None]):
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,w,enter,q", "dismiss", "Back")]

    """`ask_help` has the planner look for what would help; what it finds comes to `show_answer`."""

    def __init__(self, title: str, reasons: Sequence[str], ask_help: Callable[[], None]) -> None:
        super().__init__()
        self._title, self._reasons, self._ask_help = title, reasons, ask_help

    def compose(self) -> ComposeResult:
        with VerticalScroll(id="card"):
            yield Static(Content(clean(self._title)), id="title")
            yield Static(self._told(), id="reasons")
            yield Static(Content("\nWhat would help most").stylize("bold $accent"), id="help-head")
            yield Static(Content(LOOKING), id="helps")
            with Horizontal(id="buttons"):
                yield Button(Content("Back (Esc)"), compact=True)

    def _told(self) -> Content:
        if not self._reasons:
            return Content("Nothing holds it back.")
        lines = (f"{'↑ ' if i else '• '}{clean(reason)}" for i, reason in enumerate(self._reasons))
        return Content("\n".join(lines))

    def on_mount(self) -> None:
        self._ask_help()

    def show_answer(self, answer: Answer) -> None:
        """Everything found so far, or why nothing more will be."""
        told = [_help(help) for help in answer.helps] or [answer.trouble or NONE_HELPS]
        self.query_one("#helps", Static).update(Content(words.clean_lines(told)))

    def on_button_pressed(self) -> None:
        self.dismiss(None)


def _help(help: Help) -> str:
    """What it wins for the job, and what it costs the promises."""
    cost = f"; but the promises would be {words.span(-help.promises)} later" if help.promises < 0 else ""
    return f"• {words.span(help.job or 0)} earlier: {help.text}{cost}"
