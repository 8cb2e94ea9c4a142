"""The journal's tables, numbered, and how an older file becomes a newer one."""

from __future__ import annotations

import sqlite3

from shopday.journal.errors import JournalError

MIGRATIONS: list[tuple[str, ...]] = [
    (
        """CREATE TABLE facts (
            id INTEGER PRIMARY KEY, kind TEXT NOT NULL, address TEXT NOT NULL, pass_no INTEGER NOT NULL,
            at INTEGER NOT NULL, written INTEGER NOT NULL, data TEXT NOT NULL)""",
        "CREATE TRIGGER facts_stay BEFORE DELETE ON facts BEGIN SELECT RAISE(ABORT, 'facts stay'); END",
        "CREATE TRIGGER facts_hold BEFORE UPDATE ON facts BEGIN SELECT RAISE(ABORT, 'facts hold'); END",
    ),
]
"""MIGRATIONS[n] leads from schema n to n + 1; schema 0 is a file in which nothing was ever logged."""


def schema_number(conn: sqlite3.Connection) -> int:
    """The schema of an open file. Raises JournalError for a newer one and for a file of another program."""
    found: int = conn.execute("PRAGMA user_version").fetchone()[0]
    known = len(MIGRATIONS)
    if found > known:
        raise JournalError(
            f"journal.db: it was written by a newer shopday (schema {found}, this one knows {known}); update shopday"
        )
    tables = conn.execute("SELECT type FROM sqlite_master WHERE name = 'facts'").fetchall()
    strange = conn.execute("SELECT count(*) FROM sqlite_master").fetchone()[0] if found == 0 else 0
    if found < 0 or strange or (found and tables != [("table",)]):
        raise sqlite3.DatabaseError("these are not the tables of a journal")
    return found


def bring_up(conn: sqlite3.Connection) -> None:
    """Bring the file to today's schema inside the transaction that is open: all of it, or nothing."""
    for step in MIGRATIONS[schema_number(conn) :]:
        for statement in step:
            conn.execute(statement)
    conn.execute(f"PRAGMA user_version = {len(MIGRATIONS)}")
