"""The first start: a few questions, and shop.toml stands in the folder."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from zoneinfo import ZoneInfo

import tomlkit
from textual.app import App

from shopday.app.dialogs.form_dialog import Blank, Fields, FormDialog
from shopday.app.forms import parse_field
from shopday.app.themes import register_themes
from shopday.shop.editing.atomic_write import replace_file
from shopday.shop.folder import SHOP_FILE
from shopday.shop.models import WEEKDAYS
from shopday.text.names import free_slug


class FirstStart(App[bool]):
    """Ends with True when a shop was written."""

    CSS_PATH = "../app.tcss"
    ENABLE_COMMAND_PALETTE = False

    def __init__(self, folder: Path) -> None:
        super().__init__()
        register_themes(self)
        self._folder = folder

    def on_mount(self) -> None:
        title = "There is no shop here yet. What is yours like? Everything can be changed later."
        self.push_screen(FormDialog(title, blanks(self._folder), everything=True), self._done)

    def _done(self, fields: Fields | None) -> None:
        if fields is not None:
            self._folder.mkdir(parents=True, exist_ok=True)
            replace_file(self._folder / SHOP_FILE, shop_text(fields).encode(), None)
        self.exit(fields is not None)


def blanks(folder: Path) -> list[Blank]:
    day = "08:00-12:00, 13:00-17:00"
    return [
        Blank("name", "Name of the shop", folder.resolve().name.replace("-", " ").title()),
        Blank("timezone", "Time zone", _zone(), "America/Denver", _is_zone),
        Blank("weekdays", "Hours, Mon to Fri", day, "empty: off", parse_field.field_hours),
        Blank("saturday", "On Saturday", "", "09:00-13:00, or empty", parse_field.field_hours),
        Blank("helper", "A helper's name", "", "or empty"),
        Blank("benches", "Work benches", "1", "how many", parse_field.field_whole(1, 100)),
        Blank(
            "machines",
            "Machines",
            "table saw, planer, router table",
            "with commas between",
            parse_field.field_list,
        ),
        Blank("clamps", "Long clamps", "8", "how many", parse_field.field_whole(0, 1000)),
    ]


def shop_text(fields: Mapping[str, object]) -> str:
    """shop.toml from the answers."""
    document = tomlkit.document()
    document["name"] = fields.get("name") or "My shop"
    document["timezone"] = fields.get("timezone") or "UTC"
    days = {day: fields.get("weekdays") for day in WEEKDAYS[:5]} | {"saturday": fields.get("saturday")}
    document["hours"] = {day: spans for day, spans in days.items() if spans}
    document["rules"] = {"shortest_stretch": "15m", "dust_settles": "45m"}
    document["people"] = _tables([{"id": "maker"}, *_helper(fields.get("helper"))])
    document["stations"] = _tables(
        [{"id": "bench", "name": "Bench", "count": fields["benches"] or 1}, *_machines(fields)]
    )
    document["gear"] = _tables([{"id": "long-clamps", "name": "Long clamps", "count": fields["clamps"] or 0}])
    return tomlkit.dumps(document)


def _tables(entries: list[dict[str, object]]) -> tomlkit.items.AoT:
    tables = tomlkit.aot()
    for entry in entries:
        tables.append(tomlkit.item(entry))
    return tables


def _helper(name: object) -> list[dict[str, object]]:
    return [{"id": free_slug(str(name), ("maker",)), "name": name, "role": "helper"}] if name else []


def _machines(fields: Mapping[str, object]) -> list[dict[str, object]]:
    """Machines are noisy and dusty until the owner says otherwise."""
    named = fields.get("machines")
    ids = ["bench"]
    found: list[dict[str, object]] = []
    for name in named if isinstance(named, list) else []:
        ids.append(free_slug(name, ids))
        found.append({"id": ids[-1], "name": name.capitalize(), "noisy": True, "dusty": True})
    return found


def _zone() -> str:
    """This computer's time zone, where it says one by name."""
    linked = str(Path("/etc/localtime").resolve()).partition("/zoneinfo/")[2]
    return next((name for name in (os.environ.get("TZ", ""), linked) if name and _known(name)), "UTC")


def _known(name: str) -> bool:
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        return False
    return True


def _is_zone(name: str) -> str:
    if not _known(name):
        raise ValueError(f"{name} is no time zone; write it as Europe/London or America/Denver")
    return name
