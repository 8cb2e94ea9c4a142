"""The state of the session: the shop, the plan on the screen, a better one on offer, and what was changed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from shopday.app.undo_list import Change, EditConflictError, UndoList
from shopday.shop.faults import Fault, ShopdayError, ShopFaults
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.journal.facts import Fact
    from shopday.planning.odds.delivery_odds import Odds
    from shopday.planning.open_shop import OpenShop
    from shopday.planning.plan import Plan, PlannedStep
    from shopday.planning.questions.dashboard_types import Dashboard


@dataclass(frozen=True)
class FileEdit:
    """Files with their content before and after an edit. It cannot be undone if somebody has edited them since."""

    files: tuple[tuple[Path, bytes | None, bytes | None], ...]

    def undo(self) -> None:
        self._put([(path, after, before) for path, before, after in self.files])

    def redo(self) -> None:
        self._put(self.files)

    def _put(self, files: Sequence[tuple[Path, bytes | None, bytes | None]]) -> None:
        for path, there, _ in files:
            if _bytes(path) != there:
                raise EditConflictError(f"{path.name} was changed since; take it back in the file itself")
        for path, _, wanted in files:
            restore_file(path, wanted)


def _bytes(path: Path) -> bytes | None:
    return path.read_bytes() if path.exists() else None


def restore_file(path: Path, content: bytes | None) -> None:
    """Write the content back; None deletes the file, which was not there."""
    if content is None:
        path.unlink(missing_ok=True)
    else:
        from shopday.shop.editing.atomic_write import replace_file

        replace_file(path, content, _bytes(path))


def _restore_files(before: Sequence[tuple[Path, bytes | None]]) -> None:
    for path, content in before:
        restore_file(path, content)


@dataclass
class SessionState:
    """The state of the app. The first plan may arrive before the shop itself is read.

    dashboard: the plan on the screen.
    better:    a plan on offer.
    odds:      of the best plan.
    """

    read: OpenShop | None = None
    dashboard: Dashboard | None = None
    better: Dashboard | None = None
    odds: Odds | None = None
    changes: UndoList = field(default_factory=UndoList)

    @property
    def open_shop(self) -> OpenShop:
        assert self.read is not None
        return self.read

    @property
    def plan(self) -> Plan | None:
        return self.dashboard.plan if self.dashboard else None

    @property
    def empty(self) -> bool:
        """True if there is nothing to show yet."""
        return self.read is None and self.dashboard is None

    @property
    def now(self) -> dt.datetime:
        """The current minute in the shop's zone."""
        if self.read is None and self.dashboard is not None:
            return self.dashboard.plan.now
        return self.open_shop.now()

    @property
    def clock(self) -> dt.datetime:
        """The current second, unless the clock was stopped at a given time."""
        exact = dt.datetime.now(self.now.tzinfo)
        return exact if exact.replace(second=0, microsecond=0) == self.now else self.now

    @property
    def folder(self) -> Path:
        return self.open_shop.folder.path

    def start_on(self, date: dt.date, minute: int | None) -> dt.datetime:
        """The local time of a pin on a date: the minute given, or else the opening of that day."""
        opens = self.opens(date) if minute is None else minute
        return dt.datetime.combine(date, dt.time(*divmod(opens, 60)))

    def opens(self, date: dt.date) -> int:
        """Minutes after midnight at which the shop opens on a date. Raises ShopdayError on a day off."""
        hours = self.open_shop.days().shop_day(date)
        if not hours:
            said = date_text(date, self.now.date())
            raise ShopdayError(f"the shop is closed on {said}", "name another day or a time")
        return min(start for start, _ in hours)

    def log(
        self,
        kind: str,
        step: PlannedStep,
        at: dt.datetime | None = None,
        anyway: bool = False,
        details: Mapping[str, object] | None = None,
    ) -> Fact:
        """Log that something happened to this pass, now or at a time. details: further data. Raises ShopdayError."""
        fact = self.open_shop.log(
            kind, step.address, at, self.plan, step.pass_no, anyway=anyway, details=details
        )
        self.add_fact(fact)
        return fact

    def add_fact(self, fact: Fact) -> None:
        """Take over a fact that is in the journal already, so that it can be undone."""
        self.changes.add(self._fact_change(fact, self.now))
        self.open_shop.refresh()

    def _fact_change(self, fact: Fact, at: dt.datetime) -> Change:
        what = self.open_shop.told(fact)

        def undo() -> None:
            if fact not in self.open_shop.journal.facts():
                raise EditConflictError(f"the {what} was undone already")
            self.open_shop.undo(fact)

        return Change(what, at, undo, self.open_shop.redo)

    def did(self, what: str, undo: Callable[[], object], redo: Callable[[], object]) -> None:
        """Remember a change that can be undone."""
        self.changes.add(Change(what, self.now, undo, redo))

    def use_better(self, better: Dashboard) -> None:
        """Make the better plan the kept one."""
        shop, before = self.open_shop, self.open_shop.kept()
        shop.use_plan(better.plan, better.mark)
        after = shop.kept()
        if before is not None and after is not None:
            self.did("the better plan", lambda: shop.keep(before), lambda: shop.keep(after))

    def edit(self, paths: Sequence[Path], what: str, change: Callable[[], None]) -> None:
        """Change files. If that fails or causes a fault, they are restored. Raises ShopdayError."""
        before, wrong = [(path, _bytes(path)) for path in paths], self._wrong()
        try:
            change()
        except (ShopdayError, OSError):
            if (
                len(before) > 1
            ):  # some files may be written already; a single one is written whole or not at all
                _restore_files(before)
            raise
        try:
            self.open_shop.refresh()
            if more := [fault for key, fault in self._wrong().items() if key not in wrong]:
                raise ShopFaults(more)
        except ShopdayError:
            _restore_files(before)
            self.open_shop.refresh()
            raise
        edit = FileEdit(tuple((path, content, _bytes(path)) for path, content in before))
        self.did(what, edit.undo, edit.redo)

    def _wrong(self) -> dict[tuple[str, str], Fault]:
        """The faults of job files, by file and message, as an edit may move them to other lines."""
        faults = (fault for of_job in self.open_shop.folder.faulty.values() for fault in of_job)
        return {(fault.file, fault.wrong): fault for fault in faults}

    def to_undo(self) -> Change | None:
        """The last change made here, or else the last fact that anybody logged."""
        if self.changes.done:
            return self.changes.done[-1]
        facts = self.open_shop.journal.facts()
        return self._fact_change(facts[-1], self.open_shop.zone.moment(facts[-1].at)) if facts else None

    def undo(self, change: Change) -> None:
        """Undo a change. Raises ShopdayError if that is not possible."""
        self.changes.undo(change)
        self.open_shop.refresh()

    def redo(self) -> str:
        """Redo what was undone last, here or else in the journal by anybody; return its name. Raises ShopdayError if
        there is none."""
        if not self.changes.undone:
            fact = self.open_shop.redo()
            self.add_fact(fact)
            return self.open_shop.told(fact)
        change = self.changes.undone[-1]
        self.changes.redo(change)
        self.open_shop.refresh()
        return change.what


def day_order(plan: Plan, date: dt.date) -> tuple[tuple[str, int], ...]:
    """The work of a day in its order, whose reordering a person would notice."""
    steps = [
        s
        for s in plan.steps
        if s.kind == "work" and s.start.date() <= date and s.state in ("planned", "under way")
    ]
    return tuple(s.key for s in sorted(steps, key=lambda s: s.start))


def same_day(one: Plan, other: Plan, date: dt.date) -> bool:
    return day_order(one, date) == day_order(other, date)
