"""One line of My shop, with the form that changes it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from shopday.app.dialogs.form_dialog import Blank
from shopday.shop.loading.toml_positions import Path as Where
from shopday.text.times import date_text


def day_said(date: dt.date | None, today: dt.date) -> str:
    """A day as it is shown and typed; "" for None."""
    return date_text(date, today) if date else ""


@dataclass(frozen=True)
class SettingsLine:
    """One line: where it stands in the file, what is said of it, and its form.

    table: "" for top fields; a table's name; or with `place` (an index) a list of tables.
    owner: id of the person it is about; their days out stand in a list of theirs.
    named: a new entry gets its id from the form's name.
    """

    label: str
    said: str
    blanks: Sequence[Blank]
    table: str = ""
    place: int | None = None
    new: bool = False
    named: bool = False
    owner: str = ""

    @property
    def group(self) -> Where:
        """Where the list it belongs to stands in the file."""
        return ("people", self.owner, self.table) if self.table == "out" else (self.table,)
