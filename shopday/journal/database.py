"""Opens the journal's file: every connection is short, safe against power cuts, and closed again.

It uses a rollback journal, not a write-ahead log: at rest the whole journal is one file, it can be read in a folder
without write permission, and several programs can share it. `EXTRA` is `FULL` that also syncs the folder when a
transaction ends; without it a power cut just after could bring the transaction's undo file back.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import replace
from pathlib import Path

from shopday.journal import schema
from shopday.journal.errors import JournalError
from shopday.journal.fact_chain import chained, fact_sum
from shopday.journal.fact_rows import COLUMNS, fact_of
from shopday.journal.facts import Fact


@contextmanager
def opened(path: Path, patience: float, create: bool = False) -> Iterator[sqlite3.Connection]:
    """A connection. patience: seconds to wait for other programs. A link out of the folder is not followed, and
    anything that is no file is refused."""
    if path.resolve().parent != path.parent.resolve():
        raise JournalError("it is a link to elsewhere", "put the file itself here", path.name)
    for file in (path, Path(f"{path}-journal")):
        if file.exists() and not file.is_file():
            raise JournalError("it is no plain file", "move it away", file.name)
    uri = f"{path.absolute().as_uri()}?mode={'rwc' if create else 'rw'}"
    with closing(sqlite3.connect(uri, uri=True, timeout=patience, isolation_level=None)) as conn:
        conn.execute("PRAGMA trusted_schema = OFF")
        conn.execute("PRAGMA cell_size_check = ON")
        conn.execute("PRAGMA synchronous = EXTRA")
        yield conn


@contextmanager
def writing(path: Path, patience: float, create: bool = True) -> Iterator[sqlite3.Connection]:
    """One transaction on the current schema: durable when the block ends, undone if it raises."""
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


def read_database(path: Path, patience: float, last: Fact | None = None) -> list[Fact]:
    """Every fact after `last`, in the order written; none from a file in which nothing was logged. Nothing is
    written, even if the file has an older schema."""
    with opened(path, patience) as conn:
        return facts_in(conn, last)


def examine(path: Path, patience: float) -> list[Fact]:
    """Every fact of a file after a check of all its pages; raises if one is damaged."""
    with opened(path, patience) as conn:
        return examined(conn)


def examined(conn: sqlite3.Connection) -> list[Fact]:
    verdict = conn.execute("PRAGMA integrity_check(1)").fetchone()[0]
    if verdict != "ok":
        raise sqlite3.DatabaseError(str(verdict))
    return facts_in(conn)


def facts_in(conn: sqlite3.Connection, last: Fact | None = None) -> list[Fact]:
    """Every fact after `last`. Raises DatabaseError if a row is missing or is not what was written."""
    found = schema.schema_number(conn)
    if not found:
        return []
    rows = conn.execute(
        f"SELECT {COLUMNS}, {_sum(found)} FROM facts WHERE id > ? ORDER BY id", (last.id if last else 0,)
    )
    facts = list(chained(map(fact_of, rows), last))
    end = facts[-1] if facts else last
    if found >= schema.CHAINED and conn.execute("SELECT facts FROM tip").fetchall() != [
        (end.id if end else 0,)
    ]:
        raise sqlite3.DatabaseError("the last rows are missing")
    return facts


def fact_at(conn: sqlite3.Connection, id: int | None = None) -> Fact | None:
    """One fact by its number, or the last one, without reading the others; None if there is none."""
    found = schema.schema_number(conn)
    if not found:
        return None
    which = "ORDER BY id DESC LIMIT 1" if id is None else f"WHERE id = {id:d}"
    row = conn.execute(f"SELECT {COLUMNS}, {_sum(found)} FROM facts {which}").fetchone()
    return row and fact_of(row)


def _sum(found: int) -> str:
    """The column of the check sum; older schemas have none."""
    return "sum" if found >= schema.CHAINED else "''"


def insert(conn: sqlite3.Connection, fact: Fact) -> Fact:
    """Append a fact; return it with its number and its sum."""
    last = fact_at(conn)
    data = json.loads(json.dumps(fact.data))
    fact = replace(fact, id=last.id + 1 if last else 1, data=data)
    fact = replace(fact, sum=fact_sum(last.sum if last else "", fact))
    if conn.execute("UPDATE tip SET facts = ? WHERE facts = ?", (fact.id, fact.id - 1)).rowcount != 1:
        raise sqlite3.DatabaseError("the last rows are missing")
    values = fact.id, fact.kind, fact.address, fact.pass_no, fact.at, fact.written
    text = json.dumps(data, sort_keys=True)
    conn.execute(
        f"INSERT INTO facts ({COLUMNS}, sum) VALUES (?, ?, ?, ?, ?, ?, ?, ?)", (*values, text, fact.sum)
    )
    return fact
