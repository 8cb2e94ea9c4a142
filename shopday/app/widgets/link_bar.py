"""A line of links to tap as one widget, because a widget for each would slow every screen down."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from rich.cells import cell_len
from textual import events
from textual.content import Content
from textual.geometry import Size
from textual.reactive import reactive
from textual.widget import Widget


@dataclass(frozen=True)
class Link:
    """A few words, and the action when they are tapped. here: it is chosen already."""

    key: str
    says: str
    does: str
    here: bool = False

    @property
    def cells(self) -> int:
        return cell_len(self.key) + 1 + cell_len(self.says)

    def content(self, pointed_at: bool) -> Content:
        look = ("bold underline $accent" if self.here else "") or ("underline" if pointed_at else "")
        return Content.assemble((f"{self.key} ", "bold $accent"), (self.says, look))


class LinkBar(Widget):
    """Links with `end` at the right. `menu` has those that do not fit, and stays with `menu_stays`."""

    menu: Link | None = None
    menu_stays = False

    end: reactive[Content] = reactive(Content(""))
    links: reactive[tuple[Link, ...]] = reactive(())
    pointed: reactive[Link | None] = reactive(None)

    @property
    def gap(self) -> int:
        """Cells between two links."""
        return 1

    def fitting(self) -> Iterable[tuple[range, Link]]:
        """The cells of each link: as many from the left as fit, then the menu if it is needed."""
        x, width = 1, self.size.width - 1 - self.end.cell_length
        needed = sum(link.cells + self.gap for link in self.links) - self.gap
        fold = self.menu if self.menu_stays or x + needed > width else None
        for link in (*self.shown(width), *filter(None, [fold])):
            if x + link.cells > width - (fold.cells + self.gap if fold and link is not fold else 0):
                continue
            yield range(x, x + link.cells), link
            x += link.cells + self.gap

    def shown(self, width: int) -> tuple[Link, ...]:
        """The links to show on this many cells, the most wanted first."""
        return self.links

    def render(self) -> Content:
        pieces, x = [Content(" ")], 1
        for cells, link in self.fitting():
            pieces += [Content(" " * (cells.start - x)), link.content(link == self.pointed)]
            x = cells.stop
        space = self.size.width - 1 - x - self.end.cell_length
        return Content("").join([*pieces, Content(" " * max(1, space)), self.end])

    def at(self, x: int, y: int) -> Link | None:
        """The link at this place; every row below the links belongs to them."""
        return next((link for cells, link in self.fitting() if x in cells), None)

    def on_mouse_move(self, event: events.MouseMove) -> None:
        self.pointed = link = self.at(event.x, event.y)
        self.tooltip = None if link is None or not link.key else f"{link.says}: key {link.key}"

    def on_leave(self) -> None:
        self.pointed = None

    def on_click(self, event: events.Click) -> None:
        if (link := self.at(event.x, event.y)) is not None:
            self.follow(link)

    def follow(self, link: Link) -> None:
        """Do the action of a link."""
        raise NotImplementedError


class FoldedLinks(LinkBar):
    """Links in as many lines as they need. Where fingers tap, a line is two rows high."""

    links: reactive[tuple[Link, ...]] = reactive((), layout=True)

    def lines(self, width: int) -> list[list[tuple[range, Link]]]:
        """The links of each line with their cells."""
        lines: list[list[tuple[range, Link]]] = [[]]
        x = 1
        for link in self.links:
            if lines[-1] and x + link.cells > width:
                lines.append([])
                x = 1
            lines[-1].append((range(x, x + link.cells), link))
            x += link.cells + self.gap
        return lines

    @property
    def line_height(self) -> int:
        return 2 if self.screen.has_class("-narrow") or self.app.has_class("-fingers") else 1

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return len(self.lines(width)) * self.line_height

    def fitting(self) -> Iterable[tuple[range, Link]]:
        return [placed for line in self.lines(self.size.width) for placed in line]

    def render(self) -> Content:
        drawn = [self._drawn(line) for line in self.lines(self.size.width)]
        return Content("\n" * self.line_height).join(drawn)

    def _drawn(self, line: list[tuple[range, Link]]) -> Content:
        links = (link.content(link == self.pointed) for _, link in line)
        return Content.assemble(" ", Content(" " * self.gap).join(links))

    def at(self, x: int, y: int) -> Link | None:
        lines = self.lines(self.size.width)
        line = lines[y // self.line_height] if y < len(lines) * self.line_height else []
        return next((link for cells, link in line if x in cells), None)
