"""A line of a form whose value is picked from a list and never typed."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget

from shopday.app.widgets.style_cache import CachedStyles
from shopday.text.cells import cut

Pickable = tuple[tuple[str, str], ...]
"""(value in the file, its name) for each entry."""


class PickLine(CachedStyles, Widget, can_focus=True):
    """value: what was picked, separated by commas, as it would be typed. Arrows step through the list; Enter or a
    tap opens it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "step(-1)", show=False),
        Binding("right", "step(1)", show=False),
        Binding("enter,space", "open", show=False),
    ]
    value: reactive[str] = reactive("")

    class Opened(Message):
        """The list is to be opened."""

        def __init__(self, line: PickLine) -> None:
            super().__init__()
            self.line = line

    def __init__(self, id: str) -> None:
        super().__init__(id=id)
        self.pickable: Pickable = ()
        self.many = False
        self.placeholder = ""

    @property
    def picked(self) -> list[str]:
        return [piece.strip() for piece in self.value.split(",") if piece.strip()]

    def render(self) -> Content:
        names = dict(self.pickable)
        said = ", ".join(names.get(value, value) for value in self.picked) or self.placeholder
        hint = "  Enter: pick" if self.many else "  ‹ › or Enter"
        shown = cut(said, self.size.width - len(hint))
        look = "" if self.picked else "dim"
        if not self.has_focus:
            return Content.styled(shown, look)
        return Content.assemble((shown, "bold $background on $accent"), (hint, "dim"))

    def action_step(self, by: int) -> None:
        values = [value for value, _ in self.pickable]
        if self.many or not values:
            return
        place = values.index(self.value) + by if self.value in values else 0
        self.value = values[max(0, min(len(values) - 1, place))]

    def action_open(self) -> None:
        self.post_message(self.Opened(self))

    def on_click(self, event: events.Click) -> None:
        self.focus()
        self.action_open()
