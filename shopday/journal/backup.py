"""Daily copies of the journal, kept next to it; each grows with every fact.

Copies are `.backups/journal-YYYY-MM-DD.db` (UTC days). Rows are only ever added to a copy, so none is replaced by
one that knows less. If the day's copy is damaged or belongs to another journal, one with a further number is begun.
Of more than 14 copies the oldest are deleted, but none that knows a fact which the journal lacks.
"""

from __future__ import annotations

import datetime as dt
import sqlite3
from collections.abc import Iterator
from contextlib import suppress
from itertools import count
from pathlib import Path

from shopday.atomic_file import sync_folder
from shopday.journal import database
from shopday.journal.errors import JournalError
from shopday.journal.fact_merge import unknown_to
from shopday.journal.facts import Fact

FOLDER = ".backups"
KEPT_COPIES = 14
PATIENCE = 1.0
BROKEN = (JournalError, sqlite3.Error, OSError, ValueError)
"""What reading a file that is no sound journal may raise."""


def backups(path: Path) -> list[Path]:
    """The copies of a journal, sound or not, the newest day first."""
    copies: list[Path] = []
    with suppress(OSError):  # the folder may be unreadable
        copies += (path.parent / FOLDER).glob(f"{path.stem}-*.db")
    return sorted(copies, key=lambda file: file.name, reverse=True)


def good_facts(file: Path) -> list[Fact]:
    """The facts of a copy; empty if any page of it is damaged."""
    try:
        return database.examine(file, PATIENCE)
    except BROKEN:
        return []


def newest_good(path: Path) -> Path | None:
    """The sound copy with the most facts. Its name tells little, as clocks are set back."""
    known = [(len(facts), file.name, file) for file in backups(path) if (facts := good_facts(file))]
    return max(known)[2] if known else None


def way_out(path: Path) -> str:
    """What to do about a damaged journal."""
    good = newest_good(path)
    if good is None:
        return "there is no good backup; `shopday restore` saves what can still be read"
    return f"the newest good backup is {FOLDER}/{good.name}; `shopday restore` puts it in its place, with what can still be read"


def require_all(path: Path, patience: float) -> None:
    """Raise JournalError if a copy knows facts that the journal lacks: the journal was emptied, or is another one."""
    copy, lost = most_lost(path, patience)
    if copy is not None:
        s = "s" if len(lost) > 1 else ""
        raise JournalError(
            f"it lacks {len(lost)} fact{s} that {FOLDER}/{copy.name} has, the last one {lost[-1].about}",
            f"`shopday restore` puts them back (if it was begun anew on purpose, move {FOLDER} away)",
            path.name,
        )


def most_lost(path: Path, patience: float) -> tuple[Path | None, list[Fact]]:
    """The copy with the most facts that the journal lacks, and those facts. Copies are read first, as another
    program writes facts to the journal before it copies them."""
    ends = {copy: end for copy in backups(path) if (end := _end(copy))}
    strange = [copy for copy, end in ends.items() if not has(path, end, patience)]
    known = (database.read_database(path, patience) if path.exists() else []) if strange else []
    lost = {copy: found for copy in strange if (found := unknown_to(known, good_facts(copy)))}
    copy = max(lost, key=lambda copy: len(lost[copy]), default=None)
    return copy, lost[copy] if copy else []


def has(path: Path, fact: Fact, patience: float) -> bool:
    """True if the journal has this very fact at this place. The check sums vouch for all facts before it."""
    if not path.exists():
        return False
    with database.opened(path, patience) as conn:
        found = database.fact_at(conn, fact.id)
    return found == fact and (not found.sum or not fact.sum or found.sum == fact.sum)


def ends_with(path: Path, fact: Fact) -> bool:
    """Is this the last fact of a copy of this journal? The check sums vouch for all before it."""
    return any(end == fact and end.sum == fact.sum for end in map(_end, backups(path)))


def _end(copy: Path) -> Fact | None:
    """The last fact of a copy; None if there is none, or the copy is damaged."""
    with suppress(*BROKEN):
        return _last(copy, PATIENCE)
    return None


def _last(copy: Path, patience: float) -> Fact | None:
    with database.opened(copy, patience) as conn:
        return database.fact_at(conn)


# ------------------------------------------------------------ making copies


def daily(path: Path, now: float, patience: float) -> str:
    """Add the new facts to the day's copy, and read it back. Returns why that failed, or "". The facts are safe
    without a copy, so a failure here does not make logging fail."""
    folder = path.parent / FOLDER
    try:
        if folder.is_symlink():
            return f"{FOLDER} is a link to elsewhere"
        _require_folder(folder)
        for copy in _names(path, now):
            if not copy.exists() or _belongs(path, copy, patience):
                break
        begun = copy.exists()
        _grow(path, copy, patience)
        if not begun:
            _drop_useless(path, copy, patience)
    except BROKEN as error:
        reason = getattr(error, "strerror", None) or str(error)
        return f"{FOLDER} cannot be written ({reason.lower()})"
    return ""


def _require_folder(folder: Path) -> None:
    """Create the folder so that its name survives a power cut."""
    if not folder.exists():
        folder.mkdir(exist_ok=True)
        sync_folder(folder.parent)


def _names(path: Path, now: float) -> Iterator[Path]:
    day = dt.datetime.fromtimestamp(now, dt.UTC).date()
    for n in count(1):
        yield path.parent / FOLDER / f"{path.stem}-{day}{f'-{n}' if n > 1 else ''}.db"


def _belongs(path: Path, copy: Path, patience: float) -> bool:
    """True if the end of the copy is sound and the journal has its last fact, or if the copy is empty."""
    try:
        end = _last(copy, patience)
    except BROKEN:
        return False
    return end is None or has(path, end, patience)


def _grow(path: Path, copy: Path, patience: float) -> None:
    """Add the facts that the copy lacks, in one transaction, and read them back."""
    with database.writing(copy, patience) as conn:
        before = database.fact_at(conn)
        new = database.read_database(path, patience, before)
        for fact in new:
            database.insert(conn, fact)
    with database.opened(copy, patience) as conn:
        after = database.facts_in(conn, before)
    if after[: len(new)] != new or [f.sum for f in after[: len(new)]] != [f.sum for f in new]:
        raise sqlite3.DatabaseError("a copy does not read as it was written")


def _drop_useless(path: Path, begun: Path, patience: float) -> None:
    """Of the copies that know nothing but what the journal has, keep those with the most facts. An empty copy is
    from a program that was killed."""
    redundant: list[tuple[int, str, Path]] = []
    for copy in backups(path):
        with suppress(*BROKEN):
            end = _last(copy, patience)
            if end is None and copy != begun:
                copy.unlink()
            elif end is not None and has(path, end, patience):
                redundant.append((end.id, copy.name, copy))
    for _, _, copy in sorted(redundant, reverse=True)[KEPT_COPIES:]:
        copy.unlink()
