"""A copy of the journal for each day something was logged, kept beside it, and putting one back.

Copies are `.backups/journal-YYYY-MM-DD.db` (UTC days), made just after the first fact of a day and again
with later ones, once an hour at most; the newest 14 are kept. A copy that is not sound is never kept, so a broken journal pushes out no good one.
Copies of days to come were made by a clock that ran ahead, and count as the oldest.
"""

from __future__ import annotations

import datetime as dt
import os
import shutil
import sqlite3
import time
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager, suppress
from pathlib import Path

from shopday.journal import database
from shopday.journal.errors import JournalError, is_busy, words

FOLDER = ".backups"
KEPT = 14
PATIENCE = 1.0
HOUR = 3600
LEFT_BEHIND = HOUR
"""Seconds after which an unfinished copy is one of a program that was killed."""


def backups(path: Path) -> list[Path]:
    """The copies of a journal, newest first, good or not."""
    today = _name(path, time.time())
    copies: list[Path] = []
    with suppress(OSError):  # a folder one may not look into
        copies += (path.parent / FOLDER).glob(f"{path.stem}-????-??-??.db")
    return sorted(copies, key=lambda file: (file.name <= today, file.name), reverse=True)


def _name(path: Path, now: float) -> str:
    return f"{path.stem}-{dt.datetime.fromtimestamp(now, dt.UTC).date()}.db"


def is_good(file: Path) -> bool:
    """Is this a journal, sound to its last page?"""
    try:
        database.examine(file, PATIENCE)
    except (JournalError, sqlite3.Error, OSError, ValueError):
        return False
    return True


def newest_good(path: Path) -> Path | None:
    """The newest copy that is sound."""
    return next(filter(is_good, backups(path)), None)


def way_out(path: Path) -> str:
    """What to do about a damaged journal."""
    good = newest_good(path)
    if good is None:
        return "there is no good backup; move the file away to begin a new journal"
    return f"the newest good backup is {FOLDER}/{good.name}; `shopday restore` puts it in its place"


def daily(path: Path, now: float, patience: float) -> None:
    """Make today's copy, or make it anew after an hour. What was logged is safe without it, so a failure
    here is no failure of logging: `shopday check` tells of missing and broken copies."""
    with suppress(sqlite3.Error, OSError, JournalError, ValueError):
        target = path.parent / FOLDER / _name(path, now)
        if target.parent.is_symlink() or (target.exists() and now < target.stat().st_mtime + HOUR):
            return
        target.parent.mkdir(exist_ok=True)
        with _copied(path, target, patience) as part:
            part.replace(target)
        for old in backups(path)[KEPT:]:
            old.unlink()


def restore_backup(path: Path, source: Path) -> Path | None:
    """Put a copy in the journal's place; the file that was there is kept aside and its new path returned
    (None where there was none). Raises JournalError where the copy is not sound or cannot be written."""
    if not is_good(source):
        raise JournalError(f"{source.name} is not a sound journal; nothing was changed")
    try:
        with _copied(source, path, PATIENCE) as part, _held(path):
            aside = _aside(path)
            part.replace(path)
        return aside
    except (sqlite3.Error, OSError) as error:
        if isinstance(error, sqlite3.Error) and is_busy(error):
            raise JournalError(f"{path.name}: {words(error)}") from error
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        raise JournalError(
            f"{path.name} could not be restored ({reason}); nothing was changed, "
            "see that the folder can be written and has room"
        ) from error


@contextmanager
def _held(path: Path) -> Iterator[None]:
    """No other program writes to the file meanwhile: what it logged would be in the file kept aside. Nobody
    can write to a damaged one."""
    with ExitStack() as stack:
        try:
            if path.exists():
                stack.enter_context(database.opened(path, PATIENCE)).execute("BEGIN EXCLUSIVE")
        except sqlite3.Error as error:
            if is_busy(error):
                raise
        yield


def _aside(path: Path) -> Path | None:
    """Keep the present file under a free name, together with the undo file it may need; it stays in its
    place too, until the copy replaces it."""
    if not path.exists():
        return None
    tries = (f"{path.stem}-broken{f'-{n}' if n > 1 else ''}.db" for n in range(1, 10_000))
    aside = next(file for name in tries if not (file := path.with_name(name)).exists())
    try:
        os.link(path, aside)
    except OSError:  # a file system without links
        shutil.copy2(path, aside)
    undo = Path(f"{path}-journal")
    if undo.exists():
        undo.replace(f"{aside}-journal")
    return aside


@contextmanager
def _copied(source: Path, target: Path, patience: float) -> Iterator[Path]:
    """A sound copy beside the target, to be put in its place: made by SQLite itself, whatever others write
    meanwhile, and safe on the disk."""
    _clear_away(target)
    part = target.with_name(f"{target.name}.{os.getpid()}.part")
    try:
        with (
            database.opened(source, patience) as conn,
            closing(sqlite3.connect(part, isolation_level=None)) as copy,
        ):
            conn.backup(copy)
        if not is_good(part):
            raise sqlite3.DatabaseError("the copy is not sound")
        _sync(part)
        yield part
        _sync(target.parent)
    finally:
        part.unlink(missing_ok=True)


def _clear_away(target: Path) -> None:
    """Take out what killed programs left behind."""
    for part in target.parent.glob("*.db.*.part*"):
        with suppress(OSError):
            if part.stat().st_mtime < time.time() - LEFT_BEHIND:
                part.unlink()


def _sync(path: Path) -> None:
    """Wait until the disk has it. Windows cannot sync a folder and needs no such help."""
    if path.is_dir() and os.name == "nt":
        return
    handle = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
