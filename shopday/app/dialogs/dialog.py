"""A dialog over a screen of the shop: a question, a form or a message."""

from __future__ import annotations

from contextlib import ExitStack
from typing import ClassVar, Self, TypeVar

from textual import events
from textual.app import ComposeResult
from textual.await_complete import AwaitComplete
from textual.binding import Binding, BindingType
from textual.screen import ModalScreen
from textual.widgets import Input

from shopday.app.widgets.pick_line import PickLine
from shopday.app.widgets.style_cache import CachedScreenStyles

T = TypeVar("T")
USUAL, WIDE = 76, 100
"""The widths of #dialog in app.tcss, in cells."""


class Dialog(CachedScreenStyles, ModalScreen[T]):
    """Subclasses define widgets without text in `compose_dialog`, and set their text in `fill`.

    A dialog is kept and shown again with another's text, as setting one up takes several times as long. It is drawn
    only once it is complete, as each picture before that costs more than the last.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "dismiss", "Back"),
        Binding("pageup", "page(-1)", show=False),
        Binding("pagedown", "page(1)", show=False),
    ]
    CONTENT: ClassVar[tuple[str, ...]] = ()
    """The attributes in which dialogs of one kind differ."""

    def __init__(self) -> None:
        super().__init__()
        self._batch = ExitStack()
        self._filled: list[str] = []

    @property
    def kind(self) -> str:
        """Dialogs of one kind have the same widgets."""
        return type(self).__name__

    def take_over(self, other: Self) -> None:
        """Take over the content of another dialog of the same kind."""
        vars(self).update({name: vars(other)[name] for name in self.CONTENT})
        self._batch.enter_context(self.app.batch_update())
        self.set_focus(None)
        self.query_one("#dialog").scroll_home(animate=False)
        self._begin()

    def compose(self) -> ComposeResult:
        self._batch.enter_context(self.app.batch_update())
        yield from self.compose_dialog()

    def compose_dialog(self) -> ComposeResult:
        """The widgets, in a container with the id "dialog"."""
        raise NotImplementedError

    def fill(self) -> None:
        """Set the text of the widgets."""

    @property
    def room(self) -> int:
        """The width in cells of a line of text, beside the border, the padding and the scroll bar."""
        width = WIDE if self.app.has_class("-wide") else USUAL
        return min(width, self.app.size.width * 96 // 100) - 5

    def on_mount(self) -> None:
        self._begin()

    def _begin(self) -> None:
        self.fill()
        self._filled = self._typed_in()

    def _typed_in(self) -> list[str]:
        return [line.value for line in self.query("*") if isinstance(line, Input | PickLine)]

    @property
    def changed(self) -> bool:
        """True if something was typed or picked that closing the dialog would lose."""
        return self._typed_in() != self._filled

    def on_screen_resume(self) -> None:
        self.call_later(self._batch.close)

    def on_click(self, event: events.Click) -> None:
        """A tap outside closes the dialog, unless that would lose what was typed."""
        if event.widget is self and self.changed:
            self.notify("What you typed would be lost: choose Back to leave it.", markup=False)
        elif event.widget is self:
            self.call_later(self.run_action, "dismiss")

    def action_page(self, by: int) -> None:
        """Scroll what stands above the choices, which have the focus."""
        dialog = self.query_one("#dialog")
        (dialog.scroll_page_down if by > 0 else dialog.scroll_page_up)(animate=False)

    def dismiss(self, result: T | None = None) -> AwaitComplete:
        self._batch.close()  # if it was answered before it was drawn
        return super().dismiss(result)
