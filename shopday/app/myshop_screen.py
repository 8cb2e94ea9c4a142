"""My shop: hours, days off, people, stations and gear, each line with a form over shop.toml."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import OptionList

from shopday.app import words
from shopday.app.ask import Question
from shopday.app.day_rows import heading
from shopday.app.form import REMOVE, Fields, Form, Seen
from shopday.app.job_form import slug
from shopday.app.rows import Row, Rows
from shopday.app.shop_forms import Entry, Section, sections
from shopday.app.shopscreen import ShopScreen
from shopday.app.typed import one_of
from shopday.shop.folder import SHOP_FILE
from shopday.shop.writing import add_entry, remove_entry, set_fields, set_table

if TYPE_CHECKING:
    from shopday.planning.learning import Lesson
    from shopday.planning.taking import Change


class MyshopScreen(ShopScreen):
    PLACE = "myshop"
    HELP_TEXT = (
        "What the plan knows of the shop. Enter or d on a line opens its form; lines with a plus add something. "
        "Every change shows what it moves before it is kept. b closes the shop for a day, y writes down that one person "
        "is not in while the others work. t shows your own times against the estimates, as the "
        "journal teaches them. e opens shop.toml in your editor."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("d", "change", "Change"),
        Binding("b", "day_off", "Close a day"),
        Binding("y", "out", "Not in"),
        Binding("t", "times", "Own times"),
        Binding("e", "edit", "Editor"),
    ]

    def body(self) -> ComposeResult:
        yield Rows(id="shop")

    def show_plan(self) -> None:
        rows: list[Row] = []
        for name, entries in self._sections():
            rows.append(heading(f"head#{name}", name))
            rows += [_row(f"{name}#{i}", entry) for i, entry in enumerate(entries)]
        self.query_one("#shop", Rows).fill(rows)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self.action_change()

    def action_change(self) -> None:
        if (row := self.query_one("#shop", Rows).current) is not None:
            seen = self._seen()
            there = (e for name, es in self._sections() for i, e in enumerate(es) if f"{name}#{i}" == row.key)
            self.open_entry(next(there, row.subject), seen)

    def _seen(self) -> Seen:
        return self.shopday.jobs.seen(self.desk.folder / SHOP_FILE)

    def _sections(self) -> Iterator[Section]:
        return sections(self.desk.workshop.folder.shop, self.desk.now.date())

    def action_day_off(self) -> None:
        """Illness, a fair, a long weekend: straight to the form of a day off."""
        seen = self._seen()
        entry = dict(self._sections())["Days off"][-1]
        tomorrow = (self.desk.now.date() + dt.timedelta(days=1)).isoformat()
        first, *rest = entry.blanks
        self.open_entry(replace(entry, blanks=[replace(first, typed=tomorrow), *rest]), seen)

    def action_out(self) -> None:
        """One person is not in: who the cursor is on, or whoever is named."""
        row, people = self.query_one("#shop", Rows).current, self.desk.workshop.folder.shop.people
        if row is not None and row.subject.owner:
            self._out(row.subject.owner)
        elif len(people) == 1:
            self._out(people[0].id)
        else:
            by_label = {person.label: person.id for person in people}
            who = Question(
                "Not in",
                "Who is not in? Tap a name, or type it and press Enter.",
                tuple(by_label),
                one_of(*by_label),
            )
            self.shopday.open_card(who, lambda label: self._out(by_label[label]) if label else None)

    def _out(self, person: str) -> None:
        """Straight to the form of a day out, which mostly is today."""
        seen = self._seen()
        entry = next(
            e for e in dict(self._sections())["People"] if e.owner == person and e.table == "out" and e.new
        )
        first, *rest = entry.blanks
        today = self.desk.now.date().isoformat()
        self.open_entry(replace(entry, blanks=[replace(first, typed=today), *rest]), seen)

    def open_entry(self, entry: Entry, seen: Seen) -> None:
        removable = entry.place is not None and not entry.new
        title = entry.label[2:3].upper() + entry.label[3:] if entry.new else entry.label
        self.shopday.open_card(
            Form(title, entry.blanks, seen, removable, everything=entry.new),
            lambda fields: self._changed(entry, fields, seen),
        )

    def _changed(self, entry: Entry, fields: Fields | None, seen: Seen) -> None:
        if fields:
            change = partial(self._write, seen.path, entry, fields, seen.content)
            self.shopday.jobs.edit(seen.path, _told(entry, fields), change)

    def _write(self, path: Path, entry: Entry, fields: Fields, seen: bytes | None) -> None:
        if entry.place is None:
            _write_table(path, entry.table, fields, seen)
            return
        if fields is REMOVE:
            remove_entry(path, entry.group, entry.place, seen)
        elif entry.new:
            add_entry(path, entry.group, {**self._new_id(entry, fields), **_given(fields)}, seen)
        else:
            set_fields(path, (*entry.group, entry.place), fields, seen)

    def _new_id(self, entry: Entry, fields: Fields) -> Fields:
        shop = self.desk.workshop.folder.shop
        taken = {thing.id for things in (shop.people, shop.stations, shop.gear) for thing in things}
        return {"id": slug(str(fields.get("name", "")), taken)} if entry.named else {}

    def action_times(self) -> None:
        """What the journal teaches, and taking it into the estimates."""
        from shopday.app.lessons_screen import Lessons
        from shopday.planning.learning import learned

        shop = self.desk.workshop
        self.shopday.open_card(Lessons(learned(shop.folder, shop.state(), shop.minute())), self._lesson)

    def _lesson(self, lesson: Lesson | None) -> None:
        from shopday.app.lessons_screen import LessonCard
        from shopday.planning.taking import changes

        if lesson is not None:
            shop = self.desk.workshop
            found = changes(shop.folder, shop.state(), lesson)
            card = LessonCard(lesson, found)
            self.shopday.open_card(card, lambda taken: self._take(lesson, found) if taken else None)

    def _take(self, lesson: Lesson, found: Sequence[Change]) -> None:
        from shopday.planning.taking import take

        paths = list(dict.fromkeys(change.path for change in found))
        named = {"work": "Estimates", "cure": "Cures", "passes": "Passes"}[lesson.of]
        what = f"{named} of {lesson.name} times {lesson.factor:.2f}"
        self.shopday.jobs.edit_all(paths, what, lambda: take(found))

    def action_edit(self) -> None:
        self.shopday.jobs.open_editor(self.desk.folder / SHOP_FILE)


def _told(entry: Entry, fields: Fields) -> str:
    """What was changed, in a few words."""
    if fields is REMOVE:
        return f"Removed: {entry.label}"
    if entry.new and entry.table == "closed":
        return f"Closed: {fields['from']}"
    if entry.new:
        return f"Added: {fields.get('name') or entry.label.removeprefix('+ ')}"
    return f"Changed: {entry.label}"


def _row(key: str, entry: Entry) -> Row:
    def draw(width: int) -> Content:
        label = max(16, min(30, width // 3))
        return Content.assemble(
            "  ",
            (words.fit(entry.label, label), "$accent" if entry.new else ""),
            words.cut(entry.said, width - label - 2),
        )

    return Row(key, draw, subject=entry)


def _write_table(path: Path, table: str, fields: Fields, seen: bytes | None) -> None:
    if table:
        set_table(path, table, fields, seen)
    else:
        set_fields(path, (), fields, seen)


def _given(fields: Fields) -> Fields:
    return {name: value for name, value in fields.items() if value is not None}
