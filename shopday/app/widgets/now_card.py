"""The big answer on top of Today, or filling the screen to be read from across the shop."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from textual.widgets import Static

from shopday.app.rows.now_text import WORKING_OUT, Room, now_text

if TYPE_CHECKING:
    from shopday.planning.questions.dashboard_types import Dashboard

LARGE_FROM = 30
"""Rows of the screen from which letters are large."""
SHARE = 0.4
"""The largest share of the screen that the answer takes above the lists."""
MARGIN = 3
"""Cells beside the text: the border and the padding."""


class NowCard(Static):
    """The card. whole: it fills the screen."""

    whole = False

    def __init__(self) -> None:
        super().__init__(WORKING_OUT, id="now", markup=False)
        self._told = WORKING_OUT

    def show(self, seen: Dashboard | None, now: dt.datetime) -> None:
        told = now_text(seen, now, self._room()) if seen else WORKING_OUT
        if not told.is_same(self._told):
            self._told = told
            self.update(told)

    def _room(self) -> Room:
        size = self.screen.size
        if self.whole:
            return Room(size.width - MARGIN, self.size.height, 6)
        return Room(size.width - MARGIN, int(size.height * SHARE), 2 if size.height >= LARGE_FROM else 0)
