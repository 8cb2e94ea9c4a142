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

from shopday.app.widgets.style_cache import CachedStyles

T = TypeVar("T")


class Dialog(CachedStyles, ModalScreen[T]):
    """Subclasses define widgets without words in `compose_dialog`, and put the words on them in `fill`.

    A dialog is kept and shown again with another's words, as setting one up takes several times as long. And it is
    drawn when all of it stands: pictures on the way there cost more than it.
    """

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "dismiss", "Back")]
    CONTENT: ClassVar[tuple[str, ...]] = ()
    """Attributes in which one dialog differs from another of its kind."""

    def __init__(self) -> None:
        super().__init__()
        self._batch = ExitStack()

    @property
    def kind(self) -> str:
        """Cards of a kind have the same widgets."""
        return type(self).__name__

    def take_over(self, other: Self) -> None:
        """Say what another dialog of the same kind would."""
        vars(self).update({name: vars(other)[name] for name in self.CONTENT})
        self._batch.enter_context(self.app.batch_update())
        self.set_focus(None)
        self.query_one("#dialog").scroll_home(animate=False)
        self.fill()

    def compose(self) -> ComposeResult:
        self._batch.enter_context(self.app.batch_update())
        yield from self.compose_dialog()

    def compose_dialog(self) -> ComposeResult:
        """The widgets on it: all in one with the id "dialog"."""
        raise NotImplementedError

    def fill(self) -> None:
        """Put the words on the widgets."""

    def on_mount(self) -> None:
        self.fill()

    def on_screen_resume(self) -> None:
        self.call_later(self._batch.close)

    def on_click(self, event: events.Click) -> None:
        """A tap outside leaves it, unless something may have been typed on it."""
        if event.widget is self and not any(line.display for line in self.query(Input)):
            self.call_later(self.run_action, "dismiss")

    def dismiss(self, result: T | None = None) -> AwaitComplete:
        self._batch.close()  # where it was answered before it was drawn
        return super().dismiss(result)
