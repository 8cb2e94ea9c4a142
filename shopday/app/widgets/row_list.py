"""A list of rows to walk with keys or taps; rows are drawn for the width there is."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from time import monotonic
from typing import Any, ClassVar

from rich.segment import Segment
from textual import events
from textual.content import Content
from textual.message import Message
from textual.strip import Strip
from textual.style import Style
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from shopday.app.widgets.style_cache import CachedStyles

PaintRow = Callable[[int], Content]

MARK, FAINT_MARK = "▌", "▏"
CURSOR = {"option-list--option-highlighted": "row-list--cursor"}


@dataclass(frozen=True)
class Row:
    """A row. key: keeps the cursor on it when the list is drawn anew. A heading cannot be chosen."""

    key: str
    draw: PaintRow
    heading: bool = False
    subject: Any = None


class RowList(CachedStyles, OptionList):
    """Rows that keep the cursor when they change, and are redrawn when the width changes."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {"row-list--cursor", "row-list--mark"}

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:
        super().__init__(id=id, classes=classes, markup=False, compact=True)
        self.rows: tuple[Row, ...] = ()
        self._drawn: tuple[Any, ...] = ()
        self._shown: tuple[Row, ...] = ()
        self._gone: tuple[Row, float] | None = None
        self._start = self._top = ""
        self.swapped: float | None = None
        """By the clock of `monotonic`: when the cursor came to another row because its own one went away."""

    def fill(self, rows: Sequence[Row], start: str = "", top: str = "") -> None:
        """Show these rows; nothing is drawn if they look the same. start: the key to begin at; top: the key of the
        first row in sight."""
        self.rows, self._start, self._top = tuple(rows), start, top
        self._draw()

    def get_visual_style(self, *component_classes: str, partial: bool = False) -> Style:
        """The cursor is more prominent when the list has the focus."""
        if self.has_focus:
            component_classes = tuple(CURSOR.get(name, name) for name in component_classes)
        return super().get_visual_style(*component_classes, partial=partial)

    def on_resize(self, event: events.Resize) -> None:
        self._draw()

    def _draw(self) -> None:
        width = self.room
        if width < 1:
            return
        prompts = [self._prompt(row, width) for row in self.rows]
        looks = ((prompt.plain, *prompt.spans) for prompt in prompts)
        drawn: tuple[Any, ...] = (
            width,
            *zip(((row.key, row.heading) for row in self.rows), looks, strict=True),
        )
        before, known, self._shown = self.under_cursor, self._drawn, self.rows
        if drawn == known:
            return
        self._drawn = drawn
        if known[:1] == (width,) and [each[0] for each in drawn[1:]] == [each[0] for each in known[1:]]:
            self._redraw(prompts, [n for n, looks in enumerate(drawn[1:]) if looks != known[n + 1]])
            return
        kept, scroll = before.key if before else self._start, self.scroll_offset
        if before is not None and before.key not in {row.key for row in self.rows if not row.heading}:
            self._gone, self.swapped = (before, Message().time), monotonic()
        with self.app.batch_update():
            self.set_options(
                Option(prompt, disabled=row.heading) for row, prompt in zip(self.rows, prompts, strict=True)
            )
            self.highlighted = self._place(kept)
            self.scroll_to(y=scroll.y, animate=False)
        if before is None and self._top:
            keys = [row.key for row in self.rows]
            above = prompts[: keys.index(self._top)] if self._top in keys else []
            lines = sum(prompt.plain.count("\n") + 1 for prompt in above)
            self.call_after_refresh(self.scroll_to, y=lines, animate=False)

    def _prompt(self, row: Row, width: int) -> Content:
        """For fingers two lines high at least: about 40 pixels."""
        drawn = row.draw(width)
        is_low = self.app.has_class("-fingers") and not row.heading and "\n" not in drawn.plain
        return Content.assemble(drawn, "\n ") if is_low else drawn

    def _redraw(self, prompts: Sequence[Content], places: Iterable[int]) -> None:
        """Redraw the rows that look different."""
        for place in places:
            self.replace_option_prompt_at_index(place, prompts[place])

    def _place(self, key: str) -> int | None:
        places = {row.key: i for i, row in reversed(list(enumerate(self.rows))) if not row.heading}
        first = next(iter(sorted(places.values())), None)
        return places.get(key, places.get(self._start, first))

    @property
    def room(self) -> int:
        """The width of a row in cells, without the cursor's mark and the scroll bar."""
        return self.scrollable_content_region.width - 1

    def render_line(self, y: int) -> Strip:
        """Mark the row under the cursor, in bold if the list has the focus."""
        strip, lines = super().render_line(y), self._lines
        at = self.scroll_offset.y + y
        if self.highlighted is None or at >= len(lines) or lines[at][0] != self.highlighted:
            return strip
        style = self.get_visual_style("row-list--mark").rich_style
        return Strip.join([Strip([Segment(MARK if self.has_focus else FAINT_MARK, style)]), strip.crop(1)])

    @property
    def current(self) -> Row | None:
        """The row under the cursor. For a key pressed before that row disappeared, the row that the person saw."""
        pressed = getattr(self.app, "pressed", None)
        if self._gone is not None and pressed is not None and pressed < self._gone[1]:
            return self._gone[0]
        return self.under_cursor

    @property
    def under_cursor(self) -> Row | None:
        """The row under the cursor, in what is drawn."""
        place = self.highlighted
        return self._shown[place] if place is not None and place < len(self._shown) else None

    @property
    def needed(self) -> int:
        """The lines of all rows."""
        return len(self._lines)

    @property
    def text(self) -> str:
        """What a person reads in the list."""
        return "\n".join(row.draw(max(self.room, 20)).plain for row in self.rows)

    def row_at(self, place: int) -> Row:
        return self.rows[place]
