"""The top line: where one can go, and what time it is."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.widgets import Static

from shopday.shop.plain import clean

PLACES = {
    "today": "Today",
    "jobs": "Jobs",
    "ahead": "Ahead",
    "newjob": "New job",
    "myshop": "My shop",
    "toget": "To get",
}
"""Screens by name, in the order of their number keys."""


class Place(Static):
    """One place to go; tap it or press its number."""

    def __init__(self, number: int, name: str, here: bool) -> None:
        label = Content.assemble((f"{number} ", "$accent"), (PLACES[name], "bold underline" if here else ""))
        super().__init__(label, classes="here" if here else "")
        self.place = name

    def on_click(self) -> None:
        self.app.run_worker(self.app.run_action(f"go('{self.place}')"))


class Masthead(Horizontal):
    def __init__(self, here: str) -> None:
        super().__init__()
        self._here = here

    def compose(self) -> ComposeResult:
        for number, name in enumerate(PLACES, 1):
            yield Place(number, name, name == self._here)
        yield Static("", id="clock", markup=False)

    def show_time(self, text: str) -> None:
        self.query_one("#clock", Static).update(Content(clean(text)))
