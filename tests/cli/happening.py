"""Small shops to which things happen by command, minute by minute, and whose plans are checked."""

from __future__ import annotations

import datetime as dt
import json
import re
from pathlib import Path
from typing import Any

import pytest

from shopday.__main__ import main
from shopday.planning.open_shop import OpenShop
from shopday.planning.solving.plan_solver import improved_plans
from shopday.scheduler import verify_result

DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday")
HEAD = 'name = "Fern Yard Joinery"\ntimezone = "Europe/Berlin"\n'
WEEK = "[hours]\n" + "".join(f'{day} = ["08:00-12:00", "13:00-17:00"]\n' for day in DAYS)
WEEKDAYS = {"Mon": 2, "Tue": 3, "Wed": 4, "Thu": 5, "Fri": 6, "Sat": 7, "Sun": 8}
"""Days of March 2026."""

TWO_MAKERS = f"""
[[people]]
id = "ana"
hours = {{ {", ".join(f'{day} = ["08:00-12:00", "13:00-17:00"]' for day in DAYS[1:2])} }}
[[people]]
id = "kim"
"""
"""Ana is in on Tuesdays alone."""

COATS = (
    'oil 20m | passes = 3; waits = [{ name = "dries", takes = "1h" }]; '
    'next_pass = { extra = "15m", within = "2h", missed = { adds = "10m" } }',
)
"""One step, oiled three times."""


def moment(said: str) -> str:
    """ "Mon 8:30" of the week of 2 March 2026; anything longer is an ISO time already."""
    if not re.fullmatch(r"\w{3} \d+:\d\d", said):
        return said
    day, clock = said.split()
    return f"2026-03-{WEEKDAYS[day]:02d}T{clock.zfill(5)}"


def steps(*lines: str) -> str:
    """A job of whole-job steps, one a line: `a 1h`, or `a 1h | passes = 2; stations = ["bench"]`."""
    return "".join(map(_step, lines))


def _step(line: str) -> str:
    head, _, more = line.partition("|")
    name, _, hands_on = head.strip().partition(" ")
    work = f'hands_on = "{hands_on.strip()}"\n' if hands_on.strip() else ""
    fields = "\n".join(part.strip() for part in more.split(";"))
    return f'[[steps]]\nid = "{name}"\n{work}{fields}\n'


class Happening:
    """A shop and what happens in it. Times are local: "Mon 8:30"."""

    def __init__(self, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.folder, self._capsys = folder, capsys
        (folder / "jobs").mkdir(parents=True)
        self.shop()

    def shop(self, more: str = "", hours: str = WEEK) -> None:
        (self.folder / "shop.toml").write_text(HEAD + hours + more, "utf-8")

    def job(self, id: str, *lines: str, top: str = "") -> None:
        (self.folder / "jobs" / f"{id}.toml").write_text(top + steps(*lines), "utf-8")

    def run(self, now: str, *argv: str) -> tuple[int, str, str]:
        """(status, printed, on stderr)."""
        self._capsys.readouterr()
        status = main(["--shop", str(self.folder), "--now", moment(now), *argv])
        out, err = self._capsys.readouterr()
        return status, " ".join(out.split()), err

    def do(self, now: str, *argv: str) -> str:
        """A command that must be right; what it printed, on one line."""
        effort = () if argv[0] == "reading" else ("--effort", "0")
        status, out, err = self.run(now, *argv, *effort)
        assert (status, err) == (0, "")
        return out

    def refused(self, now: str, *argv: str) -> str:
        """A command that must be refused in one line and change nothing; the line."""
        before = self.rows()
        status, out, err = self.run(now, *argv)
        assert (status, out, err.count("\n")) == (2, "", 1)
        assert self.rows() == before
        return err

    def rows(self) -> list[Any]:
        return OpenShop(self.folder).journal.all_facts()

    def ask(self, now: str, *argv: str) -> Any:
        """An answer as JSON."""
        status, out, err = self.run(now, *argv, "--json")
        assert status in (0, 3), err
        return json.loads(out)

    def plan(self, now: str) -> Any:
        """`shopday plan`, after an independent check of the schedule of that minute."""
        shop = OpenShop(self.folder, dt.datetime.fromisoformat(moment(now)))
        *_, (built, result) = filter(None, improved_plans(shop.folder, shop.state(), shop.minute(), 0))
        assert verify_result(built.problem, result) == []
        return self.ask(now, "plan", "--fresh", "--effort", "0")

    def row(self, now: str, address: str, pass_no: int = 1) -> Any:
        """A pass as the plan of that minute has it."""
        job, *part, step = address.split("/")
        wanted = (job, part[0] if part else None, step, pass_no)
        found = [r for r in self.plan(now)["steps"] if (r["job"], r["part"], r["step"], r["pass"]) == wanted]
        assert len(found) == 1
        return found[0]

    def span(self, now: str, address: str, pass_no: int = 1) -> str:
        """Its start and end: "Mon 8:00-10:00", with the day of the end where it is another one."""
        row = self.row(now, address, pass_no)
        return said(row["start"], row["end"])

    def stretches(self, now: str, address: str, pass_no: int = 1) -> list[str]:
        return [said(start, end) for start, end in self.row(now, address, pass_no)["stretches"]]

    def people(self) -> list[str]:
        """Who was logged last."""
        people: list[str] = self.rows()[-1].data["people"]
        return people


def said(start: str, end: str) -> str:
    a, b = dt.datetime.fromisoformat(start), dt.datetime.fromisoformat(end)
    last = f"{b.hour}:{b.minute:02d}" if a.date() == b.date() else f"{b:%a} {b.hour}:{b.minute:02d}"
    return f"{a:%a} {a.hour}:{a.minute:02d}-{last}"
