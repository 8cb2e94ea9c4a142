"""The journal's tables, by schema number, and how an older file is migrated."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable

from shopday.journal.errors import JournalError
from shopday.journal.fact_chain import chained
from shopday.journal.fact_rows import COLUMNS, fact_of

Step = str | Callable[[sqlite3.Connection], None]

HOLD = "CREATE TRIGGER facts_hold BEFORE UPDATE ON facts BEGIN SELECT RAISE(ABORT, 'facts hold'); END"

CHAINED = 2
"""From this schema on every row has a check sum, and the file tells how many rows it has."""


def _write_sums(conn: sqlite3.Connection) -> None:
    found = conn.execute(f"SELECT {COLUMNS}, '' FROM facts ORDER BY id").fetchall()
    rows = [(fact.sum, fact.id) for fact in chained(map(fact_of, found))]
    conn.executemany("UPDATE facts SET sum = ? WHERE id = ?", rows)
    conn.execute("INSERT INTO tip VALUES (?)", (len(rows),))


MIGRATIONS: list[tuple[Step, ...]] = [
    (
        """CREATE TABLE facts (
            id INTEGER PRIMARY KEY, kind TEXT NOT NULL, address TEXT NOT NULL, pass_no INTEGER NOT NULL,
            at INTEGER NOT NULL, written INTEGER NOT NULL, data TEXT NOT NULL)""",
        "CREATE TRIGGER facts_stay BEFORE DELETE ON facts BEGIN SELECT RAISE(ABORT, 'facts stay'); END",
        HOLD,
    ),
    (
        "DROP TRIGGER IF EXISTS facts_hold",
        "ALTER TABLE facts ADD COLUMN sum TEXT NOT NULL DEFAULT ''",
        "CREATE TABLE tip (facts INTEGER NOT NULL)",
        _write_sums,
        HOLD,
    ),
    (),  # more kinds of facts
]
"""MIGRATIONS[n] leads from schema n to n + 1; schema 0 is a file in which nothing was ever logged."""


def schema_number(conn: sqlite3.Connection) -> int:
    """The schema of an open file. Raises JournalError for a newer one and for a file of another program."""
    found: int = conn.execute("PRAGMA user_version").fetchone()[0]
    known = len(MIGRATIONS)
    if found > known:
        raise JournalError(
            f"it was written by a newer shopday (schema {found}, this one knows {known})",
            "update shopday",
            "journal.db",
        )
    tables = conn.execute("SELECT type FROM sqlite_master WHERE name = 'facts'").fetchall()
    strange = conn.execute("SELECT count(*) FROM sqlite_master").fetchone()[0] if found == 0 else 0
    if found < 0 or strange or (found and tables != [("table",)]):
        raise sqlite3.DatabaseError("these are not the tables of a journal")
    return found


def bring_up(conn: sqlite3.Connection) -> None:
    """Migrate the file to the current schema within the open transaction: wholly, or not at all."""
    for version, steps in enumerate(MIGRATIONS):
        if version < schema_number(conn):
            continue
        for step in steps:
            if callable(step):
                step(conn)
            else:
                conn.execute(step)
        conn.execute(f"PRAGMA user_version = {version + 1}")
