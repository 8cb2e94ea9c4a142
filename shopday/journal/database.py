"""Opening the journal's file: every connection is short, safe against power cuts, and closed again.

A rollback journal, not a write-ahead log: the whole journal is one file at rest, it can be read in a
folder that may not be written, and several programs can share it. `EXTRA` is `FULL` that also syncs the
folder when a transaction ends; without it a power cut just after could bring the transaction's undo file back.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from shopday.journal import schema
from shopday.journal.errors import JournalError
from shopday.journal.facts import MINUTES, PASSES, Fact

COLUMNS = "id, kind, address, pass_no, at, written, data"
TYPES = (int, str, str, int, int, int, str)


@contextmanager
def opened(path: Path, patience: float, create: bool = False) -> Iterator[sqlite3.Connection]:
    """A connection; `patience`: seconds to wait for other programs. A link out of the folder is not followed."""
    if path.resolve().parent != path.parent.resolve():
        raise JournalError(f"{path.name}: it is a link to elsewhere; put the file itself here")
    uri = f"{path.absolute().as_uri()}?mode={'rwc' if create else 'rw'}"
    with closing(sqlite3.connect(uri, uri=True, timeout=patience, isolation_level=None)) as conn:
        conn.execute("PRAGMA trusted_schema = OFF")
        conn.execute("PRAGMA cell_size_check = ON")
        conn.execute("PRAGMA synchronous = EXTRA")
        yield conn


@contextmanager
def writing(path: Path, patience: float, create: bool = True) -> Iterator[sqlite3.Connection]:
    """One transaction on today's schema: durable when the block is left, undone when it raises."""
    with opened(path, patience, create) as conn:
        conn.execute("BEGIN IMMEDIATE")
        try:
            schema.bring_up(conn)
            yield conn
            conn.execute("COMMIT")
        except BaseException:
            if conn.in_transaction:
                conn.execute("ROLLBACK")
            raise


def read_database(path: Path, patience: float, after: int = 0) -> list[Fact]:
    """Every row behind row `after`, in the order written; none from a file in which nothing was logged."""
    with opened(path, patience) as conn:
        found = schema.schema_number(conn)
        if found == len(schema.MIGRATIONS):
            return list(rows_of(conn, after))
    if found == 0:
        return []
    with writing(path, patience, create=False) as conn:
        return list(rows_of(conn, after))


def rows_of(conn: sqlite3.Connection, after: int) -> Iterator[Fact]:
    found = conn.execute(f"SELECT {COLUMNS} FROM facts WHERE id > ? ORDER BY id", (after,))
    return map(fact_of, found)


def newest_first(conn: sqlite3.Connection) -> Iterator[Fact]:
    return map(fact_of, conn.execute(f"SELECT {COLUMNS} FROM facts ORDER BY id DESC"))


def fact_of(row: tuple[object, ...]) -> Fact:
    """A row as a fact. Raises DatabaseError where the file holds what was never written to it."""
    id, kind, address, pass_no, at, written, text = row
    if tuple(map(type, row)) != TYPES or at not in MINUTES or pass_no not in PASSES:
        raise sqlite3.DatabaseError(f"row {id!r} is not a fact")
    try:
        data = json.loads(text)  # type: ignore[arg-type]
    except (ValueError, RecursionError):
        data = None
    if not isinstance(data, dict):
        raise sqlite3.DatabaseError(f"row {id!r} is not a fact")
    return Fact(id, kind, address, pass_no, at, written, data)  # type: ignore[arg-type]


def examine(path: Path, patience: float) -> list[Fact]:
    """Every row of a file that is sound all through; raises where it is not."""
    with opened(path, patience) as conn:
        verdict = conn.execute("PRAGMA integrity_check(1)").fetchone()[0]
        if verdict != "ok":
            raise sqlite3.DatabaseError(str(verdict))
    return read_database(path, patience)
