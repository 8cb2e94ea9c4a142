"""My shop under a person's hands: the cursor on a line, its form filled in, and what then stands in the file."""

from __future__ import annotations

from pathlib import Path

from textual.pilot import Pilot
from textual.widgets import Input

from shopday.app.app import ShopdayApp
from shopday.app.widgets.pick_line import PickLine
from shopday.app.widgets.row_list import RowList
from shopday.shop.loading.folder_reader import read_folder
from shopday.shop.models import Person, Shop


def written(shop: Path) -> Shop:
    return read_folder(shop).shop


def person(shop: Path, id: str) -> Person:
    return next(person for person in written(shop).people if person.id == id)


async def cursor_on(app: ShopdayApp, pilot: Pilot[None], label: str) -> None:
    rows = app.screen.query_one("#shop", RowList)
    rows.highlighted = next(
        i for i, row in enumerate(rows.rows) if row.draw(80).plain.strip().startswith(label)
    )
    await pilot.pause()


async def fill(pilot: Pilot[None], **typed: str) -> None:
    for blank, text in typed.items():
        line = pilot.app.screen.query_one(f"#b-{blank}")
        assert isinstance(line, Input | PickLine)
        line.value = text
        if isinstance(line, Input):
            line.focus()
    await pilot.press("enter")
    await pilot.pause()
