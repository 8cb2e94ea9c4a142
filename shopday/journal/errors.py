"""What can be wrong with a journal, and what to do about it."""

from __future__ import annotations

import sqlite3

from shopday.text.wrong_input import ErrorWithRemedy

LOCKED = "it is locked by another program", "try again, or close that program first"


class JournalError(ErrorWithRemedy):
    """The journal, or a copy of it, cannot be read or written."""


REMEDIES = {
    sqlite3.SQLITE_FULL: ("the disk is full, nothing was logged", "make room and log it again"),
    sqlite3.SQLITE_READONLY: (
        "this file or its folder may not be written, nothing was logged",
        "allow writing there, or work on a copy of the folder",
    ),
    sqlite3.SQLITE_CANTOPEN: (
        "it cannot be opened",
        "see that it is a file and that you may read it and write its folder",
    ),
    sqlite3.SQLITE_PERM: ("it may not be opened", "see that you may read and write it"),
    sqlite3.SQLITE_BUSY: LOCKED,
    sqlite3.SQLITE_LOCKED: LOCKED,
    sqlite3.SQLITE_IOERR: (
        "the disk refused to read or write, nothing was logged",
        "see that it is connected and has room, then log it again",
    ),
}
"""For files that are not damaged: what is wrong and what to do, by SQLite's primary result code."""


def is_damage(error: Exception) -> bool:
    """True if the file itself is at fault, so that only a backup helps."""
    return not isinstance(error, sqlite3.Error) or _code(error) not in REMEDIES


def was_moved(error: sqlite3.Error) -> bool:
    """True if a restored file has replaced the one that was opened. Nothing was written; try again."""
    return getattr(error, "sqlite_errorcode", None) == sqlite3.SQLITE_READONLY_DBMOVED


def is_busy(error: sqlite3.Error) -> bool:
    """True if another program is writing."""
    return _code(error) in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)


def undamaged(error: Exception, file: str) -> JournalError:
    """The error for an undamaged file, which says what to do."""
    return JournalError(*REMEDIES[_code(error)], file)


def _code(error: Exception) -> int:
    """The primary result code; -1 if the error has none."""
    code = getattr(error, "sqlite_errorcode", None)
    return -1 if code is None else code & 0xFF
