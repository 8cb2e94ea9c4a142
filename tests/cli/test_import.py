"""Jobs from a table and days off from a calendar file: all or nothing, faults by row."""

from __future__ import annotations

import datetime as dt
import io
import sys
from pathlib import Path

import pytest
from cli_shop import Shop

from shopday.shop.loading.folder_reader import read_folder

TABLE = """\
Title\tCustomer\tPromised\tPart\tStep\tMinutes
=Oak "box"\tFrau Müller\t18.12.2026\tLid\tGlue up\t45
\t\t\t\tPlane\t1h 30m
\t\t\tBody\tDovetails\t240
Shelf\t\tSun 20 Dec\t\tMake it\t90
"""


def test_rows_of_a_spreadsheet_become_jobs(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(TABLE.encode())))
    assert shop.ask("import", "-")["jobs"] == ["oak-box", "shelf-2"]
    jobs = read_folder(shop.folder).jobs
    box = jobs["oak-box"]
    assert (box.title, box.customer, box.promise) == ('=Oak "box"', "Frau Müller", dt.date(2026, 12, 18))
    steps = [(part.id, step.name, step.hands_on) for part in box.parts for step in part.steps]
    assert steps == [("lid", "Glue up", 45), ("lid", "Plane", 90), ("body", "Dovetails", 240)]
    assert [step.hands_on for step in jobs["shelf-2"].steps] == [90]
    assert shop.run("check")[0] == 0


def test_errors_are_reported_by_row_and_nothing_is_written(shop: Shop, tmp_path: Path) -> None:
    file = tmp_path / "jobs.csv"
    file.write_text("title;step;minutes;promise\nBox;Cut;long;\nBox;;10;\nBox;Glue;20;12/18/2026\n")
    before = sorted(shop.folder.rglob("*.toml"))
    assert shop.run("import", str(file)) == (2, "")
    assert [line.partition(": ")[0] for line in shop.err.splitlines()] == [f"{file}:{n}" for n in (2, 3, 4)]
    assert "write a day as 18 Dec" in shop.err
    file.write_text("name,minutes\nCut,10\n")
    assert shop.run("import", str(file))[0] == 2
    assert "no column `title`" in shop.err
    assert sorted(shop.folder.rglob("*.toml")) == before


HOLIDAYS = """\
BEGIN:VCALENDAR
VERSION:2.0
PRODID:x
BEGIN:VEVENT
UID:1
DTSTART;VALUE=DATE:20261224
DTEND;VALUE=DATE:20261227
SUMMARY:Midwinter
END:VEVENT
BEGIN:VEVENT
UID:2
DTSTART;VALUE=DATE:20200101
RRULE:FREQ=YEARLY
SUMMARY:New Year
END:VEVENT
BEGIN:VEVENT
UID:3
DTSTART:20261210T090000
DTEND:20261210T100000
SUMMARY:Dentist
END:VEVENT
BEGIN:VEVENT
UID:4
DTSTART;VALUE=DATE:20250704
SUMMARY:Long past
END:VEVENT
END:VCALENDAR
"""


def test_whole_days_of_a_calendar_are_closed(shop: Shop, tmp_path: Path) -> None:
    file = tmp_path / "holidays.ics"
    file.write_text(HOLIDAYS.replace("\n", "\r\n"))
    found = shop.ask("import", str(file))["closed"]
    assert found == ["2026-12-24 to 2026-12-26", "2027-01-01", "2028-01-01"]
    closed = read_folder(shop.folder).shop.closed
    assert (closed[0].first.isoformat(), closed[0].why) == ("2026-12-24", "Midwinter")
    assert shop.ask("import", str(file))["closed"] == []
    file.write_text("BEGIN:VCALENDAR\nnonsense")
    assert shop.run("import", str(file))[0] == 2
    for name, why in (
        ("none.csv", "there is no such file; check"),
        (".", "it is a folder; a file is wanted"),
    ):
        assert shop.run("import", str(tmp_path / name))[0] == 2
        assert why in shop.err
