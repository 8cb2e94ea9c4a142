"""A fortnight of changes, with the calendar file read by three libraries: who subscribes and who brings in every file end
with the plan."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

import icalendar
import ics
import pytest
import vobject
from out_shop import OTHER, STOOL, open_shop, write
from small_shop import SHOP

from shopday.export.calendar_memory import write_memory
from shopday.export.ical import icalendar as calendar_of
from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import Plan


def made(shop: OpenShop, plan: Plan) -> bytes:
    """The file, brought to whoever reads it."""
    data, memory = calendar_of(shop, plan)
    write_memory(shop.path, memory)
    return data


Seen = tuple[str, object]
"""What a person sees of an event: its title, and when it begins (in UTC, or the day)."""
Read = dict[str, tuple[int, bool, Seen]]
"""By UID: its number, whether it is cancelled, and what is seen of it."""


def by_icalendar(data: bytes) -> Read:
    found = icalendar.Calendar.from_ical(data).walk("VEVENT")
    return {
        str(e["uid"]): (
            int(e["sequence"]),
            e["status"] == "CANCELLED",
            (str(e["summary"]), utc(e.decoded("dtstart"))),
        )
        for e in found
    }


def by_vobject(data: bytes) -> Read:
    return {
        e.uid.value: (
            int(e.sequence.value),
            e.status.value == "CANCELLED",
            (e.summary.value, utc(e.dtstart.value)),
        )
        for e in vobject.readOne(data.decode()).vevent_list
    }


def by_ics(data: bytes) -> Read:
    found: Read = {}
    for event in ics.Calendar(data.decode()).events:
        number = next(int(line.value) for line in event.extra if line.name == "SEQUENCE")
        begin = event.begin.date() if event.all_day else event.begin.datetime
        found[event.uid] = number, event.status == "CANCELLED", (event.name, utc(begin))
    return found


def utc(moment: dt.date) -> dt.date:
    return moment.astimezone(dt.UTC) if isinstance(moment, dt.datetime) else moment


class Importer:
    """A calendar into which file after file is brought: the higher number wins, what is cancelled goes."""

    def __init__(self) -> None:
        self.held: Read = {}

    def bring_in(self, read: Read) -> None:
        for uid, event in read.items():
            if uid not in self.held or event[0] >= self.held[uid][0]:
                self.held[uid] = event

    def seen(self) -> set[Seen]:
        return shown(self.held)


def shown(read: Read) -> set[Seen]:
    return {seen for _, cancelled, seen in read.values() if not cancelled}


def _stool(folder: Path, old: str, new: str) -> None:
    job = folder / "jobs" / "stool.toml"
    job.write_text(job.read_text().replace(old, new))


def _log(kind: str, step: str) -> Callable[[Path, str], object]:
    return lambda folder, now: open_shop(folder, now).log(kind, step, anyway=True)


HAPPENS: list[tuple[str, Callable[[Path, str], object]]] = [
    ("2026-12-01T08:00", _log("start", "stool/seat/glue")),
    ("2026-12-01T09:20", _log("finish", "stool/seat/glue")),
    ("2026-12-01T11:20", _log("start", "stool/seat/shape")),
    ("2026-12-02T10:00", lambda folder, _: (folder / "jobs" / "other.toml").write_text(OTHER)),
    ("2026-12-02T15:00", _log("finish", "stool/seat/shape")),
    ("2026-12-03T08:00", lambda folder, _: (folder / "shop.toml").write_text(SHOP.replace("Thistle", "Ivy"))),
    ("2026-12-03T08:30", _log("start", "stool/seat/oil")),
    ("2026-12-03T09:30", _log("finish", "stool/seat/oil")),
    ("2026-12-03T09:40", lambda folder, now: open_shop(folder, now).undo()),
    ("2026-12-03T09:50", _log("finish", "stool/seat/oil")),
    ("2026-12-07T09:00", _log("again", "stool/seat/oil")),
    ("2026-12-08T09:00", lambda folder, _: _stool(folder, "2026-12-03", "2026-12-11")),
    ("2026-12-09T09:00", lambda folder, _: _stool(folder, "Milking stool", "Milking stool, low")),
    ("2026-12-10T09:00", lambda folder, _: (folder / "jobs" / "other.toml").unlink()),
    ("2026-12-14T09:00", lambda folder, _: (folder / "jobs" / "other.toml").write_text(OTHER)),
]


@pytest.mark.slow
def test_a_subscriber_and_an_importer_both_end_with_the_plan(tmp_path: Path) -> None:
    folder = write(tmp_path, stool=STOOL)
    readers = {"icalendar": by_icalendar, "vobject": by_vobject, "ics": by_ics}
    importers = {name: Importer() for name in readers}
    cancelled = 0
    for now, happens in HAPPENS:
        happens(folder, now)
        shop = open_shop(folder, now)
        plan = shop.plan(0.1)
        data = made(shop, plan)
        told = {name: read(data) for name, read in readers.items()}
        assert told["icalendar"] == told["vobject"] == told["ics"]
        for name, importer in importers.items():
            importer.bring_in(told[name])
        today = plan.now.date()
        planned = {
            (step.full, start.astimezone(dt.UTC))
            for step in plan.steps
            if step.kind == "work"
            for start, _ in step.stretches
            if start.date() >= today
        }
        for seen in (shown(told["ics"]), importers["ics"].seen()):
            work = {
                (title, start)
                for title, start in seen
                if isinstance(start, dt.datetime) and _from(start, today, plan.now)
                if " is over" not in title and title[0] not in "!✓"
            }
            assert work == planned, now
        after = {seen for seen in importers["ics"].seen() if _from(seen[1], today, plan.now)}
        assert after == {seen for seen in shown(told["ics"]) if _from(seen[1], today, plan.now)}
        cancelled += sum(is_gone for _, is_gone, _ in told["ics"].values())
    assert cancelled
    assert len({uid.partition("@")[2] for uid in importers["ics"].held}) == 1


def _from(begin: object, today: dt.date, now: dt.datetime) -> bool:
    if isinstance(begin, dt.datetime):
        return begin.astimezone(now.tzinfo).date() >= today
    return isinstance(begin, dt.date) and begin >= today


def test_a_vanished_event_is_cancelled_and_returns_with_its_uid(tmp_path: Path) -> None:
    folder = write(tmp_path, stool=STOOL, other=OTHER)
    first = by_icalendar(made(shop := open_shop(folder, "2026-12-01T08:00"), shop.plan(0.1)))
    (folder / "jobs" / "other.toml").rename(folder / "other.toml")
    gone = by_icalendar(made(shop := open_shop(folder, "2026-12-01T08:10"), shop.plan(0.1)))
    (folder / "other.toml").rename(folder / "jobs" / "other.toml")
    back = by_icalendar(made(shop := open_shop(folder, "2026-12-01T08:20"), shop.plan(0.1)))
    uid = next(uid for uid in first if uid.startswith("work.other.draw"))
    assert [read[uid][:2] for read in (first, gone, back)] == [(0, False), (1, True), (2, False)]
    assert gone[uid][2] == first[uid][2]
    (folder / ".calendar.json").write_text("{")
    anew = by_icalendar(made(shop := open_shop(folder, "2026-12-01T08:20"), shop.plan(0.1)))
    assert uid.partition("@")[2] not in " ".join(anew)
