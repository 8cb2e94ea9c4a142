"""The choices of a dialog as one widget, because a button for each would slow every dialog down."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from rich.cells import cell_len
from textual import events
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.geometry import Region, Size
from textual.message import Message
from textual.reactive import reactive
from textual.widget import Widget

from shopday.app.widgets.style_cache import CachedStyles
from shopday.text.safe import clean

GAP = 2


@dataclass(frozen=True)
class Choice:
    """A choice. key: its key in the dialog, or ""."""

    id: str
    says: str
    key: str = ""

    @property
    def text(self) -> str:
        return f" {clean(self.says)} ({self.key}) " if self.key else f" {clean(self.says)} "


class Choices(CachedStyles, Widget, can_focus=True):
    """Choices, taken with arrows and Enter or by a tap, in as many columns as fit."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "move(-1)", show=False),
        Binding("right", "move(1)", show=False),
        Binding("up", "row(-1)", show=False),
        Binding("down", "row(1)", show=False),
        Binding("enter,space", "choose", show=False),
    ]
    at: reactive[int] = reactive(0)
    pointed: reactive[int | None] = reactive(None)

    class Chosen(Message):
        def __init__(self, id: str) -> None:
            super().__init__()
            self.id = id

    def __init__(self) -> None:
        super().__init__()
        self.choices: tuple[Choice, ...] = ()

    def offer(self, *choices: Choice) -> None:
        """Show these choices, with the cursor on the first."""
        self.choices, self.at = choices, 0
        self.refresh(layout=True)

    @property
    def _cells(self) -> int:
        return max((cell_len(choice.text) for choice in self.choices), default=0) + GAP

    def _columns(self, width: int) -> int:
        return max(1, min(len(self.choices), (width + GAP) // self._cells))

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return self._high * -(-len(self.choices) // self._columns(width))

    @property
    def _high(self) -> int:
        """Rows of each: two for fingers."""
        return 2 if self.app.has_class("-fingers") else 1

    def render(self) -> Content:
        """The choices. The one under the cursor is marked by a sign too."""
        columns, pieces = self._columns(self.size.width), list[Content | str]()
        for place, choice in enumerate(self.choices):
            here = self.has_focus and place == self.at
            text = f"›{choice.text[1:]}" if here else choice.text
            look = "underline on $panel" if place == self.pointed else "on $panel"
            pieces.append(Content.styled(text, "bold $background on $accent" if here else look))
            ends = place % columns == columns - 1 or place == len(self.choices) - 1
            pieces.append("\n" * self._high if ends else " " * (self._cells - cell_len(text)))
        return Content.assemble(*pieces[:-1])

    def where(self, place: int) -> Region:
        """The cells of a choice."""
        y, x = divmod(place, self._columns(self.size.width))
        return Region(x * self._cells, y * self._high, cell_len(self.choices[place].text), self._high)

    def action_move(self, by: int) -> None:
        self.at = min(len(self.choices) - 1, max(0, self.at + by))

    def action_row(self, by: int) -> None:
        place = self.at + by * self._columns(self.size.width)
        if 0 <= place < len(self.choices):
            self.at = place

    def action_choose(self) -> None:
        if self.choices:
            self.post_message(self.Chosen(self.choices[self.at].id))

    def _at(self, x: int, y: int) -> int | None:
        return next((n for n in range(len(self.choices)) if self.where(n).contains(x, y)), None)

    def on_mouse_move(self, event: events.MouseMove) -> None:
        self.pointed = self._at(event.x, event.y)

    def on_leave(self) -> None:
        self.pointed = None

    def on_click(self, event: events.Click) -> None:
        if (place := self._at(event.x, event.y)) is not None:
            self.at = place
            self.action_choose()
