"""The calendar file, read back by a second library and held against RFC 5545."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pytest
import vobject
from out_shop import STOOL, open_shop, write

from shopday.export.calendar_memory import write_memory
from shopday.export.ical import icalendar

NOW = "2026-12-01T08:00"


def made(folder: Path, now: str = NOW) -> bytes:
    shop = open_shop(folder, now)
    data, memory = icalendar(shop, shop.plan(0.1))
    write_memory(folder, memory)
    return data


def events(data: bytes) -> dict[str, vobject.base.Component]:
    """By UID without the shop's name."""
    read = vobject.readOne(data.decode("utf-8"))
    return {event.uid.value.partition("@")[0]: event for event in read.vevent_list}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return write(tmp_path, stool=STOOL)


def test_work_has_its_local_time_and_zone(folder: Path) -> None:
    found = events(made(folder))
    shape = found["work.stool.seat.shape.1.1"]
    # glued 8:00-9:00, clamps off at 11:00, shaped till the break and after it
    assert shape.dtstart.value == dt.datetime(2026, 12, 1, 18, 0, tzinfo=dt.UTC)  # 11:00 at UTC-7
    assert shape.dtstart.value.utcoffset() == dt.timedelta(hours=-7)
    assert shape.dtend.value - shape.dtstart.value == dt.timedelta(hours=1)
    assert found["work.stool.seat.shape.1.2"].dtstart.value.hour == 13
    assert "Shape the seat" in shape.summary.value


def test_a_summer_and_a_winter_day_have_their_own_offsets(folder: Path) -> None:
    """US clocks go back on 1 November 2026 (Energy Policy Act of 2005: the first Sunday of November)."""
    job = folder / "jobs" / "stool.toml"
    job.write_text(job.read_text().replace('takes = "2h"', 'takes = "5d"'))
    found = events(made(folder, "2026-10-30T08:00"))
    before, after = found["work.stool.seat.glue.1.1"], found["work.stool.seat.shape.1.1"]
    assert (before.dtstart.value.hour, before.dtstart.value.utcoffset()) == (8, dt.timedelta(hours=-6))
    assert (after.dtstart.value.hour, after.dtstart.value.utcoffset()) == (8, dt.timedelta(hours=-7))


def test_alarms_ring_when_hands_are_needed_and_somebody_is_in(folder: Path) -> None:
    found = events(made(folder))
    clamps = found["wait.stool.seat.glue.1.1"]
    assert clamps.dtstart.value.hour == 11
    assert clamps.valarm.trigger.value == dt.timedelta()
    window = found["window.stool.seat.oil.1"]
    assert window.valarm.trigger.value == -dt.timedelta(hours=1)
    job = folder / "jobs" / "stool.toml"
    job.write_text(job.read_text().replace('"24h"', '"10h"'))  # dry at 1:30 in the night
    night = events(made(folder))["wait.stool.seat.oil.1.1"]
    assert night.dtstart.value.hour == 1
    assert "valarm" not in night.contents


def test_promises_are_whole_days_and_deliveries_moments(folder: Path) -> None:
    found = events(made(folder))
    assert found["promise.stool"].dtstart.value == dt.date(2026, 12, 3)
    assert found["promise.stool"].dtend.value == dt.date(2026, 12, 4)
    assert found["delivery.stool"].dtstart.value.hour == 16


def test_only_changed_events_get_a_higher_sequence(folder: Path) -> None:
    first, later = events(made(folder)), events(made(folder, "2026-12-01T09:00"))
    assert made(folder, "2026-12-01T09:00") == made(folder, "2026-12-01T09:00")
    glue = first["work.stool.seat.glue.1.1"], later["work.stool.seat.glue.1.1"]
    assert glue[1].dtstart.value - glue[0].dtstart.value == dt.timedelta(hours=1)
    assert [event.sequence.value for event in glue] == ["0", "1"]
    promise = first["promise.stool"], later["promise.stool"]
    assert [event.sequence.value for event in promise] == ["0", "0"]
    assert promise[0].dtstamp.value == promise[1].dtstamp.value


def test_a_local_time_that_occurs_twice_is_in_utc(folder: Path) -> None:
    """US clocks go back on 1 November 2026 at 2:00: 1:30 comes twice."""
    job = folder / "jobs" / "stool.toml"
    job.write_text(job.read_text().replace('takes = "2h"', 'takes = "41h"').replace(', keeps = "all"', ""))
    data = made(folder, "2026-10-30T08:00")  # glued till 9:00; 41 hours later it is the second 1:00
    assert b"DTSTART:20261101T080000Z" in data
    assert events(data)["wait.stool.seat.glue.1.1"].dtstart.value == dt.datetime(
        2026, 11, 1, 8, tzinfo=dt.UTC
    )


NAMES = [
    "Legs, rails; and \\ a stretcher",
    "first line\nsecond line",
    "tab\tand bell\x07",
    "шип и паз " * 30,
    "🪑" * 60,
    "BEGIN:VEVENT",
    "a\xa0blank\u200b and a hy\xadphen",
    ":;,\"'",
]


@pytest.mark.parametrize("name", NAMES)
def test_names_come_back_as_they_were_written(folder: Path, name: str) -> None:
    job = folder / "jobs" / "stool.toml"
    written = "".join(f"\\U{ord(c):08x}" for c in name)
    job.write_text(job.read_text().replace('"Shape the seat"', f'"{written}"'))
    data = made(folder)
    shown = name.replace("\n", "\\n").replace("\t", "\\t").replace("\x07", "\\x07")
    shown = shown.replace("\xa0", " ").replace("\u200b", "").replace("\xad", "")
    assert shown.strip() in events(data)["work.stool.seat.shape.1.1"].summary.value
    check_lines(data)


def check_lines(data: bytes) -> None:
    """RFC 5545 section 3.1: lines end in CRLF and have at most 75 octets; folded lines go on after a blank.
    Section 3.3.11: no control character but the tab."""
    assert data.endswith(b"\r\n")
    assert b"\n" not in data.replace(b"\r\n", b"")
    for line in data.split(b"\r\n"):
        assert len(line) <= 75
        line.decode("utf-8")  # no character is cut in two
    assert re.search(rb"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]", data) is None


def test_the_file_keeps_the_rules_of_the_rfc(folder: Path) -> None:
    data = made(folder)
    check_lines(data)
    lines = re.sub(rb"\r\n[ \t]", b"", data).decode().split("\r\n")
    # section 3.6: both are required, once
    assert lines.count("VERSION:2.0") == 1
    assert len([line for line in lines if line.startswith("PRODID:")]) == 1
    # section 3.6.1: UID and DTSTAMP are required, once; section 3.8.4.7: UIDs differ from each other
    blocks = "\r\n".join(lines).split("BEGIN:VEVENT")[1:]
    uids = [re.findall(r"^UID:(.*)\r$", block, re.MULTILINE) for block in blocks]
    assert all(len(found) == 1 for found in uids)
    assert len({found[0] for found in uids}) == len(uids)
    assert all(len(re.findall(r"^DTSTAMP:\d{8}T\d{6}Z\r$", block, re.MULTILINE)) == 1 for block in blocks)
    # section 3.6.5: a zone for every TZID used
    used = set(re.findall(r";TZID=([^:;]+)[:;]", data.decode()))
    zones = set(re.findall(r"BEGIN:VTIMEZONE\r\nTZID:(.*)\r", "\r\n".join(lines)))
    assert used == zones == {"America/Denver"}
    # section 3.6.6: an alarm that is shown has action, description and trigger
    for alarm in re.findall(r"BEGIN:VALARM(.*?)END:VALARM", "\r\n".join(lines), re.DOTALL):
        assert "ACTION:DISPLAY" in alarm
        assert "DESCRIPTION:" in alarm
        assert "TRIGGER" in alarm
