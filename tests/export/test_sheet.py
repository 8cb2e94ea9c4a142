"""The day sheet: everything of the day on one page, in text and to print."""

from __future__ import annotations

import html.parser
from pathlib import Path

from out_shop import OTHER, STOOL, open_shop, write

from shopday.export.day_sheet import DaySheet, as_text, day_sheet
from shopday.export.sheet_html import as_html


def made(folder: Path) -> DaySheet:
    shop = open_shop(folder, "2026-12-01T11:30")
    for kind, address, at in (
        ("finish", "stool/seat/glue", "09:00"),
        ("start", "stool/seat/shape", "11:00"),
    ):
        hour, minute = map(int, at.split(":"))
        shop.log(kind, address, shop.now().replace(hour=hour, minute=minute))
    return day_sheet(shop, shop.plan(0.1))


def test_the_sheet_has_what_is_to_be_done_mixed_and_minded(tmp_path: Path) -> None:
    found = made(write(tmp_path, stool=STOOL))
    # shaped since 11:00, so till 12:00 and 13:00-15:00; oiled 15:00-15:30
    assert ("13:00–15:00", "Shape the seat (Seat of Milking stool) goes on") in found.work
    assert ("15:00–15:30", "Oil the seat (Seat of Milking stool)") in found.work
    assert any("3:1 by volume: 30 ml + 10 ml" in line for line in found.mixes)  # 40 ml of a 3:1 mix
    assert any("metal can" in line for line in found.cautions)
    at_steps = [line for line in found.cautions if not line.startswith(("Before you close", "The label"))]
    names = {step for _, step in found.work}
    assert at_steps
    assert all(
        any(line.split(":")[0].split(" and ")[0].split(", ")[0] in name for name in names)
        for line in at_steps
    )
    assert found.cautions[-1].startswith("The label")


def test_text_is_80_columns_with_boxes_and_room_for_a_pencil(tmp_path: Path) -> None:
    said = as_text(made(write(tmp_path, stool=STOOL)))
    assert max(map(len, said.splitlines())) <= 80
    assert "[ ] 15:00–15:30  Oil the seat" in said
    assert said.count("." * 70) >= 4


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


def test_more_rows_get_smaller_type(tmp_path: Path) -> None:
    few = made(write(tmp_path, stool=STOOL, other=OTHER))
    many = DaySheet(
        few.shop, few.date, few.made, few.work * 10, few.waiting, few.mixes, few.orders, few.cautions
    )
    sizes = [float(as_html(page).partition("font: ")[2].partition("pt")[0]) for page in (few, many)]
    assert sizes[1] < sizes[0]
