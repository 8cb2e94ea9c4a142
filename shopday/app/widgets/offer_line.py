"""The line that offers a better plan; a tap uses the plan."""

from __future__ import annotations

from textual.widgets import Static

from shopday.text.cells import cut


class OfferLine(Static):
    def __init__(self) -> None:
        super().__init__("", id="offer", markup=False)
        self.display = False
        self._offer = ""

    def show(self, offer: str) -> None:
        """`offer`: what the better plan gains; "" for none."""
        if offer != self._offer:
            self._offer, self.display = offer, bool(offer)
            self._draw()

    def _draw(self) -> None:
        self.update(
            cut(f"x: use a better plan. {self._offer}", LINES * (self.screen.size.width - SIDES) - WRAP)
        )

    def on_resize(self) -> None:
        self._draw()

    def on_click(self) -> None:
        self.app.run_worker(self.app.run_action("use_better_plan"))


SIDES = 2
"""Cells beside the text."""

LINES = 2
"""As in app.tcss."""

WRAP = 12
"""Cells that may stay empty at the end of the first line, where a word does not fit."""
