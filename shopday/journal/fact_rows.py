"""Reads rows of the table of facts and checks that each is a valid fact."""

from __future__ import annotations

import json
import sqlite3

from shopday.journal.facts import KINDS, MINUTES, PASSES, SECONDS, Fact

COLUMNS = "id, kind, address, pass_no, at, written, data"
TYPES = (int, str, str, int, int, int, str, str)


def fact_of(row: tuple[object, ...]) -> Fact:
    """A row as a fact. Raises DatabaseError if the row holds what was never written."""
    id, kind, address, pass_no, at, written, text, sum = row
    if tuple(map(type, row)) != TYPES or at not in MINUTES or pass_no not in PASSES or written not in SECONDS:
        raise sqlite3.DatabaseError(f"row {id!r} is not a fact")
    if kind not in KINDS:
        raise sqlite3.DatabaseError(f"row {id!r} is of no kind there is: {str(kind)[:20]!r}")
    try:
        data = json.loads(text)  # type: ignore[arg-type]
    except (ValueError, RecursionError):
        data = None
    if not isinstance(data, dict):
        raise sqlite3.DatabaseError(f"row {id!r} is not a fact")
    return Fact(id, kind, address, pass_no, at, written, data, sum)  # type: ignore[arg-type]
