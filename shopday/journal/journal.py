"""The journal: an append-only file of what has happened, shared by all programs open on a shop."""

from __future__ import annotations

import json
import sqlite3
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from shopday.journal import backup, database, schema
from shopday.journal.errors import JournalError, is_damage, undamaged, was_moved
from shopday.journal.facts import KINDS, MINUTES, PASSES, REDO, UNDO, Fact, last_live, last_undone, live

__all__ = ["Fact", "Journal", "journal_rows"]

T = TypeVar("T")

Mark = tuple[int, int]
"""The file (its inode), and the number of its last row; zeros if there is no file."""


class Journal:
    """The facts of one shop. Creating the object touches nothing on disk; the first append creates the file.

    patience: seconds to wait while another program writes.
    clock:    seconds since the epoch.

    Every method raises JournalError, which says what to do, if the file cannot be read or written.
    """

    def __init__(self, path: Path, patience: float = 5.0, clock: Callable[[], float] = time.time) -> None:
        self.path, self.patience, self.clock = Path(path), patience, clock
        self._read: tuple[int, list[Fact]] = 0, []
        self._trusted: Mark = 0, 0
        self.copy_trouble = ""
        """Why what was logged last has no copy; "" where it has one."""

    def append(self, kind: str, address: str, pass_no: int, at_minute: int, **data: Any) -> Fact:
        """Write one fact; once this returns, a power cut cannot lose it."""
        if kind not in KINDS - {UNDO, REDO}:
            raise ValueError("there is no such kind of fact; undo() takes back, and redo() puts back")
        if at_minute not in MINUTES or pass_no not in PASSES:
            raise JournalError(
                "no fact is of that time or pass",
                "give a time after 1970 and passes from 1",
                self.path.name,
            )
        fact = Fact(0, kind, address, pass_no, at_minute, int(self.clock()), data)
        return self._write(lambda conn: database.insert(conn, fact))

    def undo(self, fact: Fact | None = None) -> Fact | None:
        """Undo this fact, or the last that counts, and return it; None if it does not count any more."""
        return self._write(lambda conn: self._undo(conn, fact)) if self._inode() else None

    def redo(self) -> Fact | None:
        """Redo the fact undone last, and return it; None if there is none, or if something was logged since."""
        return self._write(self._redo) if self._inode() else None

    def facts(self) -> list[Fact]:
        """The facts that count, in the order written."""
        return live(self.all_facts())

    def all_facts(self) -> list[Fact]:
        """Every row, with undone facts and the undos and redos themselves."""
        self._ask(self._catch_up)
        return list(self._read[1])

    def version(self) -> int:
        """A number that changes whenever any program writes, or replaces the file; 0 without a file."""
        inode, last = self._ask(self._mark)
        return hash((inode, last)) if inode else 0

    def check(self) -> list[Fact]:
        """Every row, after a check of all pages of the file."""
        return self._ask(lambda: database.examine(self.path, self.patience) if self.path.exists() else [])

    # ------------------------------------------------------------ on the file

    def _write(self, act: Callable[[sqlite3.Connection], T]) -> T:
        """Do it in one transaction, then bring the day's copy up to date."""

        def attempt() -> T:
            backup.require_all(self.path, self.patience)
            with database.writing(self.path, self.patience) as conn:
                return act(conn)

        found = self._ask(attempt)
        self.copy_trouble = backup.daily(self.path, self.clock(), self.patience)
        return found

    def _undo(self, conn: sqlite3.Connection, fact: Fact | None) -> Fact | None:
        facts = database.facts_in(conn)
        last = (
            last_live(reversed(facts)) if fact is None else next((f for f in live(facts) if f == fact), None)
        )
        return last and self._about(conn, UNDO, last)

    def _redo(self, conn: sqlite3.Connection) -> Fact | None:
        facts = database.facts_in(conn)
        undone = last_undone(reversed(facts))
        last = next((fact for fact in facts if fact.id == undone), None)
        return last and self._about(conn, REDO, last)

    def _about(self, conn: sqlite3.Connection, kind: str, fact: Fact) -> Fact:
        """Undo or redo the fact, in a row of its own."""
        now = int(self.clock())
        database.insert(conn, Fact(0, kind, fact.address, fact.pass_no, now // 60, now, {"of": fact.id}))
        return fact

    def _catch_up(self) -> None:
        """Read the rows added since the last time. Rows never change, but another file may have replaced this one."""
        inode, last = self._mark()
        known, facts = self._read
        if inode != known or (facts and facts[-1].id > last):
            facts = []
        if inode and (not facts or last > facts[-1].id):
            facts = facts + database.read_database(self.path, self.patience, facts[-1] if facts else None)
        if inode == self._inode():  # otherwise the rows may be from two files: keep nothing, and read again
            self._read = inode, facts
        else:
            self._read = 0, []
            self._catch_up()

    def _mark(self) -> Mark:
        """Rows never change, so the number of the last one tells; a replaced file has another inode. A file that was
        replaced or has become shorter must have all facts of its copies."""
        inode = self._inode()
        known, end = self._trusted
        mark = inode, self._end() if inode else 0
        if not inode or inode != known or mark[1] < end:
            backup.require_all(self.path, self.patience)
        self._trusted = mark
        return mark

    def _end(self) -> int:
        with database.opened(self.path, self.patience) as conn:
            found = (
                conn.execute("SELECT max(id) FROM facts").fetchone()[0] if schema.schema_number(conn) else 0
            )
        return found or 0

    def _inode(self) -> int:
        try:
            return self.path.stat().st_ino
        except FileNotFoundError:
            return 0

    def _ask(self, act: Callable[[], T]) -> T:
        try:
            try:
                return act()
            except sqlite3.OperationalError as error:
                if not was_moved(error):
                    raise
                return act()
        except (sqlite3.Error, OSError, ValueError, OverflowError) as error:
            raise self._explained(error) from error

    def _explained(self, error: Exception) -> JournalError:
        name = self.path.name
        if isinstance(error, OSError):
            right = "see that the folder is there and may be read"
            return JournalError(error.strerror or str(error), right, name)
        if isinstance(error, UnicodeEncodeError | OverflowError):
            wrong = f"this cannot be written down ({type(error).__name__})"
            return JournalError(wrong, "nothing was logged", name)
        if not is_damage(error):
            return undamaged(error, name)
        wrong = f"it is damaged ({' '.join(str(error).split())})"
        return JournalError(wrong, backup.way_out(self.path), name)


def journal_rows(journal: Journal) -> list[tuple[int, str, str, int, int, int, str, bool]]:
    """Every row, for a table: number, kind, address, pass, minute, second written, further data (as JSON), and
    whether it still counts."""
    facts = journal.all_facts()
    counts = {fact.id for fact in live(facts)}
    return [
        (
            f.id,
            f.kind,
            f.address,
            f.pass_no,
            f.at,
            f.written,
            json.dumps(f.data, sort_keys=True),
            f.id in counts,
        )
        for f in facts
    ]
