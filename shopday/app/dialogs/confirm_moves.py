"""What a change moves, shown before it is kept: in days, with the promises that slip."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Static

from shopday.app.dialogs.dialog import Dialog
from shopday.app.widgets.choices import Choice, Choices
from shopday.text.safe import clean


class ConfirmMoves(Dialog[bool]):
    """Asks whether to keep a change or undo it. Better plans may arrive while it is open."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("k,enter", "keep", "Keep"),
        Binding("u", "undo", "Undo it"),
        Binding("escape", "undo", "Undo it", show=False),
    ]

    CONTENT = ("_what", "_ask_lines", "_mind")

    def __init__(
        self,
        what: str,
        ask_lines: Callable[[], list[Content]],
        mind: Sequence[str] = (),
    ) -> None:
        """ask_lines: tells what moves. mind: cautions to be read before the change is kept."""
        super().__init__()
        self._what, self._ask_lines, self._mind = what, ask_lines, mind

    def compose_dialog(self) -> ComposeResult:
        with Vertical(id="dialog"):
            yield Static(id="title")
            with VerticalScroll(id="moves"):
                yield Static(id="told")
            yield Choices()

    def fill(self) -> None:
        self.query_one("#title", Static).update(Content(clean(self._what)))
        self.query_one("#told", Static).update(self._told())
        self.query_one(Choices).offer(Choice("keep", "Keep it", "k"), Choice("back", "Undo it", "u"))

    def _told(self) -> Content:
        lines = self._ask_lines()
        if self._mind:
            lines += [Content.styled("\nMind at the work", "bold $accent")]
            lines += [Content(f"! {clean(said)}") for said in self._mind]
        return Content("\n").join(lines)

    def on_session_changed(self) -> None:
        """A better plan has arrived: show what moves now."""
        self.query_one("#told", Static).update(self._told())

    def action_keep(self) -> None:
        self.dismiss(True)

    def action_undo(self) -> None:
        self.dismiss(False)

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        self.dismiss(event.id == "keep")
