"""The first start: asks a few questions and writes shop.toml."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from textual.app import App

from shopday.app.dialogs.form_dialog import Blank, Fields, FormDialog
from shopday.app.themes import WIDTHS, register_themes
from shopday.shop.new_shop import questions, write_shop


class FirstQuestions(FormDialog):
    """Without answers there is no shop, so that only Back leaves it, and not a tap beside it."""

    @property
    def changed(self) -> bool:
        return True


class FirstStart(App[bool]):
    """Returns True if a shop was written."""

    CSS_PATH = "../app.tcss"
    ENABLE_COMMAND_PALETTE = False
    HORIZONTAL_BREAKPOINTS = WIDTHS

    def __init__(self, folder: Path, today: dt.date) -> None:
        super().__init__()
        register_themes(self)
        self._folder, self._today = folder, today

    def on_mount(self) -> None:
        title = "There is no shop here yet. What is yours like? Everything can be changed later."
        asked = questions(self._folder)
        blanks = [Blank(q.name, q.label, q.usual, q.hint, q.read, q.pickable) for q in asked]
        self.push_screen(FirstQuestions(title, blanks, everything=True), self._done)

    def _done(self, fields: Fields | None) -> None:
        if fields is not None:
            write_shop(self._folder, fields, self._today)
        self.exit(fields is not None)
