"""The top line: the places to go to, and the time."""

from __future__ import annotations

from textual.content import Content

from shopday.app.widgets.link_bar import Link, LinkBar
from shopday.text.safe import clean

PLACES = {
    "today": "Today",
    "jobs": "Jobs",
    "ahead": "Ahead",
    "newjob": "New job",
    "myshop": "My shop",
    "toget": "To get",
    "done": "Done",
}
"""The screens by name, in the order of their number keys."""


SPINNER = "◐◓◑◒"


class ShopHeader(LinkBar):
    """The places are two cells apart if there is room, else one. What is being worked out stands beside the time: as
    a turning sign, and in words if the places leave room."""

    _turns, _told = 0, ("", "")

    @property
    def gap(self) -> int:
        cells = sum(link.cells + 2 for link in self.links) + self.end.cell_length
        return 2 if cells + 2 <= self.size.width else 1

    def __init__(self, here: str) -> None:
        super().__init__()
        self.menu = Link("≡", PLACES[here], "menu")
        self.set_reactive(
            LinkBar.links,
            tuple(Link(str(n), says, name, name == here) for n, (name, says) in enumerate(PLACES.items(), 1)),
        )

    def show_time(self, text: str, doing: str = "") -> None:
        self._turns = (self._turns + 1) % len(SPINNER) if doing else 0
        self._told = text, doing
        self._show()

    def on_resize(self) -> None:
        self._show()

    def _show(self) -> None:
        text, doing = self._told
        busy = f"{SPINNER[self._turns]} {doing}   " if doing else ""
        places = sum(link.cells + 1 for link in self.links)
        if 1 + places + len(busy) + len(text) > self.size.width:
            busy = busy[:2]
        self.end = Content.assemble((busy, "$accent"), (clean(text), "bold"))

    def shown(self, width: int) -> tuple[Link, ...]:
        """All places; none if they do not fit, as the menu has them."""
        needed = sum(link.cells + self.gap for link in self.links)
        return self.links if needed <= width else ()

    def follow(self, link: Link) -> None:
        if link is self.menu:
            self.app.run_worker(self.app.run_action("command_palette"))
            return
        self.app.run_worker(self.app.run_action(f"go('{link.does}')"))
