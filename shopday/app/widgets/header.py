"""The top line: where one can go, and what time it is."""

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
"""Screens by name, in the order of their number keys."""


class ShopHeader(LinkBar):
    """With two cells between the places where they have room, else one."""

    @property
    def gap(self) -> int:
        cells = sum(link.cells + 2 for link in self.links) + self.end.cell_length
        return 2 if cells <= self.size.width else 1

    def __init__(self, here: str) -> None:
        super().__init__()
        self.set_reactive(
            LinkBar.links,
            tuple(Link(str(n), says, name, name == here) for n, (name, says) in enumerate(PLACES.items(), 1)),
        )

    def show_time(self, text: str) -> None:
        self.end = Content.styled(clean(text), "bold")

    def follow(self, link: Link) -> None:
        self.app.run_worker(self.app.run_action(f"go('{link.does}')"))
