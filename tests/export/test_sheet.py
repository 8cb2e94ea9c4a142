"""The day sheet: everything of the day on one page, in text and to print."""

from __future__ import annotations

import html.parser
from pathlib import Path

from out_shop import OTHER, STOOL, open_shop, write

from shopday.export.day_sheet import day_sheet
from shopday.export.sheet_html import as_html
from shopday.export.sheet_model import Sheet, SheetRow
from shopday.export.sheet_text import as_text
from shopday.export.week_sheet import week_sheet


def made(folder: Path) -> Sheet:
    shop = open_shop(folder, "2026-12-01T11:30")
    for kind, address, at in (
        ("finish", "stool/seat/glue", "09:00"),
        ("start", "stool/seat/shape", "11:00"),
    ):
        hour, minute = map(int, at.split(":"))
        shop.log(kind, address, shop.now().replace(hour=hour, minute=minute))
    return day_sheet(shop, shop.plan(0.1))


def rows(sheet: Sheet, name: str) -> tuple[SheetRow, ...]:
    return next(section.rows for section in sheet.sections if section.name == name)


def test_the_sheet_has_work_mixes_and_cautions(tmp_path: Path) -> None:
    found = made(write(tmp_path, stool=STOOL))
    # shaped since 11:00, so till 12:00 and 13:00-15:00; oiled 15:00-15:30
    work = rows(found, "To do")
    assert SheetRow("Shape the seat (Seat of Milking stool) goes on", "13:00–15:00", tick=True) in work
    assert SheetRow("Oil the seat (Seat of Milking stool)", "15:00–15:30", tick=True) in work
    assert SheetRow("Break", "12:00–13:00") in work  # nothing to tick
    assert any(
        "3:1 by volume: 30 ml + 10 ml" in row.what for row in rows(found, "To mix")
    )  # 40 ml of a 3:1 mix
    assert any("metal can" in row.what for row in rows(found, "Mind"))
    minded = [row.what for row in rows(found, "Mind")]
    at_steps = [line for line in minded if not line.startswith(("Before you close", "The label"))]
    names = {row.what for row in work}
    assert at_steps
    assert all(
        any(line.split(":")[0].split(" and ")[0].split(", ")[0] in name for name in names)
        for line in at_steps
    )
    assert minded[-1].startswith("The label")


def test_text_is_80_columns_with_boxes_and_room_for_a_pencil(tmp_path: Path) -> None:
    said = as_text(made(write(tmp_path, stool=STOOL)))
    assert max(map(len, said.splitlines())) <= 80
    assert "[ ] 15:00–15:30  Oil the seat" in said
    assert "     12:00–13:00  Break" in said
    assert said.count("." * 70) >= 4


def test_the_week_has_each_day_with_something_to_do(tmp_path: Path) -> None:
    shop = open_shop(write(tmp_path, stool=STOOL), "2026-12-01T08:00")
    found = week_sheet(shop, shop.plan(0.1))
    # glued and shaped and oiled on Tuesday, dry a day later, delivered on Wednesday
    assert [section.name for section in found.sections] == ["Tue 1 Dec", "Wed 2 Dec"]
    assert SheetRow("Deliver (Milking stool)", "15:30–16:30", tick=True) in rows(found, "Wed 2 Dec")
    assert "[ ] 15:30–16:30  Deliver" in as_text(found)


class Reader(html.parser.HTMLParser):
    """What a page says, and whether its tags are closed in order."""

    VOID = ("meta", "link", "br")

    def __init__(self) -> None:
        super().__init__()
        self.said: list[str] = []
        self.open: list[str] = []
        self.fetched: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.fetched += [value or "" for name, value in attrs if name in ("src", "href")]
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.said.append(data)


def read(page: str) -> Reader:
    reader = Reader()
    reader.feed(page)
    reader.close()
    assert reader.open == []
    return reader


def test_the_page_is_well_formed_and_fetches_nothing(tmp_path: Path) -> None:
    reader = read(as_html(made(write(tmp_path, stool=STOOL))))
    assert reader.fetched == []
    assert "Oil the seat (Seat of Milking stool)" in reader.said


def test_typed_text_stays_text_on_the_page(tmp_path: Path) -> None:
    evil = STOOL.replace("Shape the seat", "<script>alert(1)</script> & <b>")
    reader = read(as_html(made(write(tmp_path, stool=evil))))
    assert "script" not in reader.open
    assert any("<script>alert(1)</script> & <b>" in said for said in reader.said)


def test_more_rows_get_smaller_type_and_only_work_a_box(tmp_path: Path) -> None:
    few = made(write(tmp_path, stool=STOOL, other=OTHER))
    many = Sheet(few.shop, few.date, few.made, few.sections * 6)
    sizes = [float(as_html(page).partition("font: ")[2].partition("pt")[0]) for page in (few, many)]
    assert sizes[1] < sizes[0]
    ticks = sum(row.tick for section in few.sections for row in section.rows)
    assert as_html(few).count('class="box tick"') == ticks > 0
