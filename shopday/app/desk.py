"""What lies on the desk: the shop, the plan being looked at, a better one held back, and what was changed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from shopday.shop.faults import ShopdayError
from shopday.shop.saving import replace_file

if TYPE_CHECKING:
    from shopday.planning.odds import Odds
    from shopday.planning.plan import Plan
    from shopday.planning.workshop import Workshop


@dataclass(frozen=True)
class FileChange:
    """An edit of one file that can be taken back as long as nobody edited the file since."""

    path: Path
    before: bytes | None
    after: bytes | None
    what: str

    def take_back(self) -> None:
        if _bytes(self.path) != self.after:
            raise ShopdayError(f"{self.path.name} was changed since; take it back in the file itself")
        put_back(self.path, self.before)


def _bytes(path: Path) -> bytes | None:
    return path.read_bytes() if path.exists() else None


def put_back(path: Path, content: bytes | None) -> None:
    """The file as it was; None: it was not there."""
    if content is None:
        path.unlink(missing_ok=True)
    else:
        replace_file(path, content, _bytes(path))


@dataclass
class Desk:
    """The app's state. `plan` is on the screen; `better` waits to be taken up; `odds` are of the best plan."""

    workshop: Workshop
    plan: Plan | None = None
    better: Plan | None = None
    odds: Odds | None = None
    done: list[FileChange | None] = field(default_factory=list)

    @property
    def now(self) -> dt.datetime:
        """To the minute, in the shop's zone."""
        return self.workshop.now()

    @property
    def clock(self) -> dt.datetime:
        """To the second, unless the clock was stopped at a moment given."""
        exact = dt.datetime.now(self.now.tzinfo)
        return exact if exact.replace(second=0, microsecond=0) == self.now else self.now

    @property
    def folder(self) -> Path:
        return self.workshop.folder.path

    def start_on(self, date: dt.date, minute: int | None) -> dt.datetime:
        """The shop's own clock time of a pin: the time said, or when the shop opens that day."""
        opens = self.opens(date) if minute is None else minute
        return dt.datetime.combine(date, dt.time(*divmod(opens, 60)))

    def opens(self, date: dt.date) -> int:
        """Minutes after midnight at which the shop opens on a date. Raises ShopdayError on a day off."""
        from shopday.app.lanes import is_closed, weekday

        shop = self.workshop.folder.shop
        special = [day.hours for day in shop.open if day.on == date]
        hours = special[0] if special else () if is_closed(shop, date) else shop.hours.get(weekday(date), ())
        if not hours:
            raise ShopdayError(f"the shop is closed on {date:%A} {date}; name another day or a time")
        return min(start for start, _ in hours)

    def log(self, kind: str, address: str) -> None:
        """Put a fact in the journal; None on the pile stands for one."""
        self.workshop.log(kind, address)
        self.workshop.refresh()
        self.done.append(None)

    def edit(self, path: Path, what: str, change: Callable[[], None]) -> None:
        """Change a file. Where the shop could no longer be read, it is put back; raises ShopdayError."""
        before = _bytes(path)
        change()
        try:
            self.workshop.refresh()
        except ShopdayError:
            put_back(path, before)
            self.workshop.refresh()
            raise
        self.done.append(FileChange(path, before, _bytes(path), what))

    def take_back(self) -> str:
        """Undo the last change made here, or else the last logged fact; says what it was."""
        change = self.done[-1] if self.done else None
        if change is None:
            fact = self.workshop.undo()
            self.workshop.refresh()
            del self.done[-1:]
            return f"{fact.kind} of {fact.address}"
        change.take_back()
        self.done.pop()
        self.workshop.refresh()
        return change.what


def day_order(plan: Plan, date: dt.date) -> tuple[tuple[str, int], ...]:
    """The work of a day in its order: what a person would notice being shuffled."""
    steps = [
        s
        for s in plan.steps
        if s.kind == "work" and s.start.date() <= date and s.state in ("planned", "under way")
    ]
    return tuple(s.key for s in sorted(steps, key=lambda s: s.start))


def same_day(one: Plan, other: Plan, date: dt.date) -> bool:
    return day_order(one, date) == day_order(other, date)
