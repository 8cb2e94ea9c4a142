"""My shop: hours, days off, people, stations and gear, each line with a form over shop.toml."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import OptionList

from shopday.app import words
from shopday.app.day_rows import heading
from shopday.app.edits import Fields, drop_at, set_at, set_in, set_job
from shopday.app.form import REMOVE, Form
from shopday.app.job_form import slug
from shopday.app.rows import Row, Rows
from shopday.app.shop_forms import Entry, sections
from shopday.app.shopscreen import ShopScreen
from shopday.shop.folder import SHOP_FILE


class MyshopScreen(ShopScreen):
    PLACE = "myshop"
    HELP_TEXT = (
        "What the plan knows of the shop. Enter on a line opens its form; lines with a plus add something. "
        "Every change shows what it moves before it is kept. e opens shop.toml in your editor."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "change", "Change"),
        Binding("b", "day_off", "Close a day"),
        Binding("e", "edit", "Editor"),
    ]

    def body(self) -> ComposeResult:
        yield Rows(id="shop")

    def show_plan(self) -> None:
        rows: list[Row] = []
        for name, entries in sections(self.desk.workshop.folder.shop):
            rows.append(heading(f"head#{name}", name))
            rows += [_row(f"{name}#{i}", entry) for i, entry in enumerate(entries)]
        self.query_one("#shop", Rows).fill(rows)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self.action_change()

    def action_change(self) -> None:
        row = self.query_one("#shop", Rows).current
        if row is not None:
            self._open(row.subject)

    def action_day_off(self) -> None:
        """Illness, a fair, a long weekend: straight to the form of a day off."""
        by_name = dict(sections(self.desk.workshop.folder.shop))
        self._open(by_name["Days off"][-1])

    def _open(self, entry: Entry) -> None:
        removable = entry.place is not None and not entry.new
        title = entry.label.removeprefix("+ ").capitalize() if entry.new else entry.label
        self.app.push_screen(
            Form(title, entry.blanks, removable), lambda fields: self._changed(entry, fields)
        )

    def _changed(self, entry: Entry, fields: Fields | None) -> None:
        if fields:
            what = f"Changed: {entry.label.removeprefix('+ ')}"
            self.shopday.deeds.edit(
                self.desk.folder / SHOP_FILE, what, lambda text: self._written(text, entry, fields)
            )

    def _written(self, text: str, entry: Entry, fields: Fields) -> str:
        if entry.place is None:
            return set_in(text, entry.table, fields) if entry.table else set_job(text, fields)
        if fields is REMOVE:
            return drop_at(text, entry.table, entry.place)
        shop = self.desk.workshop.folder.shop
        taken = {thing.id for things in (shop.people, shop.stations, shop.gear) for thing in things}
        if entry.new and entry.named:
            fields = {"id": slug(str(fields.get("name", "")), taken), **fields}
        return set_at(text, entry.table, entry.place, fields)

    def action_edit(self) -> None:
        self.shopday.deeds.open_editor(self.desk.folder / SHOP_FILE)


def _row(key: str, entry: Entry) -> Row:
    def draw(width: int) -> Content:
        label = max(16, min(30, width // 3))
        return Content.assemble(
            "  ",
            (words.fit(entry.label, label), "$accent" if entry.new else ""),
            words.cut(entry.said, width - label - 2),
        )

    return Row(key, draw, subject=entry)
