"""My shop: hours, days off, people, stations and gear, each line with a form that edits shop.toml."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import OptionList

from shopday.app.dialogs.form_dialog import REMOVE, Fields, FormDialog, SeenFile
from shopday.app.dialogs.question_dialog import QuestionDialog
from shopday.app.forms.settings_forms import Section, settings_sections
from shopday.app.forms.settings_line import SettingsLine
from shopday.app.rows.day_rows import day_heading
from shopday.app.screens.shop_screen import ShopScreen
from shopday.app.widgets.row_list import Row, RowList
from shopday.shop.editing.file_edits import add_entry, remove_entry, set_fields, set_litre_prices, set_table
from shopday.shop.folder import SHOP_FILE
from shopday.shop.typed_values import field_choice
from shopday.text.cells import wrapped
from shopday.text.names import free_slug
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.planning.lessons.apply_lessons import LessonEdit
    from shopday.planning.lessons.learned_lessons import Lesson


class SettingsScreen(ShopScreen):
    PLACE = "myshop"
    HELP_TEXT = (
        "What the plan knows of the shop. Enter or d on a line opens its form; lines with a plus add something. "
        "Every change shows what it moves before it is kept. H closes the shop for a day, y writes down that one person "
        "is not in while the others work. T shows your own times against the estimates, as the "
        "journal teaches them. e opens shop.toml in your editor."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("d", "change", "Change"),
        Binding("H", "day_off", "Close a day"),
        Binding("y", "out", "Not in"),
        Binding("T", "times", "Own times"),
        Binding("e", "edit", "Editor"),
    ]

    def body(self) -> ComposeResult:
        yield RowList(id="shop")

    def show_plan(self) -> None:
        rows: list[Row] = []
        for name, entries in self._sections():
            rows.append(day_heading(f"head#{name}", name))
            rows += [_row(f"{name}#{i}", entry) for i, entry in enumerate(entries)]
        self.query_one("#shop", RowList).fill(rows)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self.action_change()

    def action_change(self) -> None:
        if (row := self.query_one("#shop", RowList).current) is not None:
            seen = self._seen()
            there = (e for name, es in self._sections() for i, e in enumerate(es) if f"{name}#{i}" == row.key)
            self.open_entry(next(there, row.subject), seen)

    def _seen(self) -> SeenFile:
        return self.session.job_actions.seen(self.state.folder / SHOP_FILE)

    def _sections(self) -> Iterator[Section]:
        folder = self.state.open_shop.folder
        return settings_sections(folder.shop, folder.materials, self.state.now.date())

    def action_day_off(self) -> None:
        """Open the form of a day off: illness, a fair, a long weekend."""
        seen = self._seen()
        entry = dict(self._sections())["Days off"][-1]
        self.open_entry(self._from(entry, self.state.now.date() + dt.timedelta(days=1)), seen)

    def action_out(self) -> None:
        """Open the form of a day out for the person under the cursor, or ask for the person."""
        row, people = self.query_one("#shop", RowList).current, self.state.open_shop.folder.shop.people
        if row is not None and row.subject.owner:
            self._out(row.subject.owner)
        elif len(people) == 1:
            self._out(people[0].id)
        else:
            by_label = {person.label: person.id for person in people}
            who = QuestionDialog(
                "Not in",
                "Who is not in? Tap a name, or type it and press Enter.",
                tuple(by_label),
                field_choice(*by_label),
            )
            self.session.open_dialog(who, lambda label: self._out(by_label[label]) if label else None)

    def _out(self, person: str) -> None:
        """Open the form of a day out, which is mostly today."""
        seen = self._seen()
        entry = next(
            e for e in dict(self._sections())["People"] if e.owner == person and e.table == "out" and e.new
        )
        self.open_entry(self._from(entry, self.state.now.date()), seen)

    def _from(self, entry: SettingsLine, date: dt.date) -> SettingsLine:
        """The form with its first day filled in."""
        first, *rest = entry.blanks
        said = date_text(date, self.state.now.date())
        return replace(entry, blanks=[replace(first, typed=said), *rest])

    def open_entry(self, entry: SettingsLine, seen: SeenFile) -> None:
        removable = entry.place is not None and not entry.new
        title = entry.label[2:3].upper() + entry.label[3:] if entry.new else entry.label
        self.session.open_dialog(
            FormDialog(title, entry.blanks, seen, removable, everything=entry.new),
            lambda fields: self._changed(entry, fields, seen),
        )

    def _changed(self, entry: SettingsLine, fields: Fields | None, seen: SeenFile) -> None:
        if fields:
            change = partial(self._write, seen.path, entry, fields, seen.content)
            self.session.job_actions.edit(seen.path, _told(entry, fields, self.state.now.date()), change)

    def _write(self, path: Path, entry: SettingsLine, fields: Fields, seen: bytes | None) -> None:
        if entry.table == "litre":
            prices = {str(fields["material"]): fields["litre"]} if entry.new else fields
            set_litre_prices(path, prices, seen)
            return
        if entry.place is None:
            _write_table(path, entry.table, fields, seen)
            return
        if fields is REMOVE:
            remove_entry(path, entry.group, entry.place, seen)
        elif entry.new:
            add_entry(path, entry.group, {**self._new_id(entry, fields), **_given(fields)}, seen)
        else:
            set_fields(path, (*entry.group, entry.place), fields, seen)

    def _new_id(self, entry: SettingsLine, fields: Fields) -> Fields:
        shop = self.state.open_shop.folder.shop
        taken = {thing.id for things in (shop.people, shop.stations, shop.gear) for thing in things}
        return {"id": free_slug(str(fields.get("name", "")), taken)} if entry.named else {}

    def action_times(self) -> None:
        """Show what the journal teaches, which can be taken into the estimates."""
        from shopday.app.screens.lessons_screen import Lessons
        from shopday.planning.lessons.learned_lessons import learned_lessons

        shop = self.state.open_shop
        self.session.open_dialog(
            Lessons(learned_lessons(shop.folder, shop.state(), shop.minute())), self._lesson
        )

    def _lesson(self, lesson: Lesson | None) -> None:
        from shopday.app.screens.lessons_screen import LessonDialog
        from shopday.planning.lessons.apply_lessons import lesson_edits
        from shopday.planning.step_names import full_names

        if lesson is not None:
            shop = self.state.open_shop
            found = lesson_edits(shop.folder, shop.state(), lesson)
            dialog = LessonDialog(lesson, found, full_names(shop.folder))
            self.session.open_dialog(dialog, lambda taken: self._take(lesson, found) if taken else None)

    def _take(self, lesson: Lesson, found: Sequence[LessonEdit]) -> None:
        from shopday.planning.lessons.apply_lessons import apply_lesson

        paths = list(dict.fromkeys(change.path for change in found))
        named = {"work": "Estimates", "cure": "Cures", "passes": "Passes"}[lesson.of]
        what = f"{named} of {lesson.name} times {lesson.factor:.2f}"
        self.session.job_actions.edit_all(paths, what, lambda: apply_lesson(found))

    def action_edit(self) -> None:
        self.session.job_actions.open_editor(self.state.folder / SHOP_FILE)


def _told(entry: SettingsLine, fields: Fields, today: dt.date) -> str:
    """What was changed, in a few words."""
    if fields is REMOVE:
        return f"Removed: {entry.label}"
    if entry.new and entry.table == "closed" and isinstance(first := fields["from"], dt.date):
        return f"Closed: {date_text(first, today)}"
    if entry.new:
        return f"Added: {fields.get('name') or entry.label.removeprefix('+ ')}"
    return f"Changed: {entry.label}"


def _row(key: str, entry: SettingsLine) -> Row:
    def draw(width: int) -> Content:
        label = max(16, min(30, width // 3))
        named = wrapped(entry.label, width - 2, 2)
        said = wrapped(entry.said, width - label - 2, label + 2)
        between = " " * (label - cell_len(named)) if cell_len(named) < label else "\n" + " " * (label + 2)
        return Content.assemble("  ", (named, "$accent" if entry.new else ""), (between + said) * bool(said))

    return Row(key, draw, subject=entry)


def _write_table(path: Path, table: str, fields: Fields, seen: bytes | None) -> None:
    if table:
        set_table(path, table, fields, seen)
    else:
        set_fields(path, (), fields, seen)


def _given(fields: Fields) -> Fields:
    return {name: value for name, value in fields.items() if value is not None}
