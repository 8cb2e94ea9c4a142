"""The list of lanes: it tells where a tap was, and the wheel moves the weeks."""

from __future__ import annotations

from textual import events
from textual.message import Message

from shopday.app.widgets.row_list import RowList


class LaneList(RowList):
    tapped: int | None = None
    """The cell of the last tap in its row; None if the row was chosen by a key."""

    class Wheeled(Message):
        """The wheel was turned where nothing scrolls: forward (1) or back (-1)."""

        def __init__(self, by: int) -> None:
            super().__init__()
            self.by = by

    def on_mouse_down(self, event: events.MouseDown) -> None:
        self.tapped = event.x - 1

    def on_key(self) -> None:
        self.tapped = None

    def _on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        self._wheel(event, 1)

    def _on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        self._wheel(event, -1)

    def on_mouse_scroll_right(self, event: events.MouseScrollRight) -> None:
        self._wheel(event, 1)

    def on_mouse_scroll_left(self, event: events.MouseScrollLeft) -> None:
        self._wheel(event, -1)

    def _wheel(self, event: events.MouseEvent, by: int) -> None:
        up_and_down = isinstance(event, events.MouseScrollDown | events.MouseScrollUp)
        if up_and_down and self.max_scroll_y and not event.shift:
            (super()._on_mouse_scroll_down if by > 0 else super()._on_mouse_scroll_up)(event)  # type: ignore[arg-type]
        else:
            event.stop()
            event.prevent_default()
            self.post_message(self.Wheeled(by))
