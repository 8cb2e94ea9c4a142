"""Restores a journal from its copies and from what can still be read of a damaged file."""

from __future__ import annotations

import os
import shutil
import sqlite3
import time
from collections.abc import Iterable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, replace
from itertools import count
from pathlib import Path

from shopday.atomic_file import sync_folder
from shopday.journal import backup, database
from shopday.journal.errors import JournalError, is_busy, is_damage, undamaged
from shopday.journal.fact_merge import merged, unknown_to
from shopday.journal.facts import Fact
from shopday.journal.page_salvage import salvage

LEFT_BEHIND = 3600
"""Seconds after which an unfinished file must be from a program that was killed."""


@dataclass(frozen=True)
class Restored:
    """What a journal was restored from.

    source:   the copy it begins with; None if no copy knew more than the present file.
    facts:    everything in it now.
    saved:    how many facts were in no copy, only in the present file.
    left:     how many facts of the present file are not in it, as the person insisted on a copy.
    gone:     numbers of the rows of a damaged file that cannot be read and are in no copy.
    aside:    where the previous file is kept; None if there was none.
    put_away: copies that know more than the journal does now, under their new names.
    """

    source: Path | None
    facts: tuple[Fact, ...]
    saved: int = 0
    left: int = 0
    gone: tuple[int, ...] = ()
    aside: Path | None = None
    put_away: tuple[Path, ...] = ()


@dataclass(frozen=True)
class _There:
    """The present file: the facts that can be read of it, and the numbers of those that cannot."""

    facts: tuple[Fact, ...]
    sound: bool
    gone: tuple[int, ...] = ()

    def gone_beside(self, facts: Iterable[Fact]) -> tuple[int, ...]:
        known = {fact.id for fact in facts}
        return tuple(id for id in self.gone if id not in known)


def restore(path: Path, source: Path | None = None) -> Restored:
    """Restore the journal from everything known of it, and keep the present file next to it.

    source: begin with this copy, whatever the others know, as the person insists on it. Raises JournalError if there
    is nothing to do, or nothing can be done.
    """
    try:
        with _held(path) as conn:
            there = _look(path, conn)
            found = _insisted(source, there) if source else _all_known(path, there)
            aside = _put_in_place(path, found.facts, there.sound)
        put_away = tuple(_put_away(path)) if source else ()
    except (sqlite3.Error, OSError) as error:
        raise _explained(path, error) from error
    backup.daily(path, time.time(), backup.PATIENCE)
    return replace(found, aside=aside, put_away=put_away)


def merge(path: Path, others: Iterable[Path]) -> int:
    """Add to the journal what other files know beyond it; return the number of facts added. Raises JournalError."""
    try:
        with database.writing(path, backup.PATIENCE) as conn:
            facts = before = database.facts_in(conn)
            for other in others:
                facts = merged(facts, backup.good_facts(other))
            for fact in facts[len(before) :]:
                database.insert(conn, fact)
    except (sqlite3.Error, OSError) as error:
        raise _explained(path, error) from error
    return len(facts) - len(before)


def _explained(path: Path, error: Exception) -> JournalError:
    if isinstance(error, sqlite3.Error) and is_busy(error):
        return undamaged(error, path.name)
    reason = (getattr(error, "strerror", None) or str(error)).lower()
    return JournalError(
        f"{path.name} could not be restored ({reason})",
        "nothing was changed, see that the folder can be written and has room",
    )


def _look(path: Path, conn: sqlite3.Connection | None) -> _There:
    """Read the present file. Raises JournalError for a journal of a newer version, which no copy may replace."""
    if not path.exists():
        return _There((), sound=True)
    try:
        if conn is not None:
            return _There(tuple(database.examined(conn)), sound=True)
    except (sqlite3.Error, ValueError) as error:
        if not is_damage(error):
            raise
    found = salvage(path.read_bytes())
    return _There(found.facts, False, found.gone)


def _readable(copy: Path) -> tuple[Fact, ...]:
    """What can still be read of a damaged copy; nothing of one of a newer version."""
    try:
        database.examine(copy, backup.PATIENCE)
    except (sqlite3.Error, ValueError) as error:
        if is_damage(error):
            return salvage(copy.read_bytes()).facts
    except (JournalError, OSError):
        pass
    return ()


def _insisted(source: Path, there: _There) -> Restored:
    facts = _required(source)
    if there.sound:
        return Restored(source, tuple(facts), left=len(unknown_to(facts, there.facts)))
    whole = merged(facts, there.facts)
    return Restored(source, tuple(whole), len(whole) - len(facts), gone=there.gone_beside(facts))


def _required(source: Path) -> list[Fact]:
    try:
        facts = database.examine(source, backup.PATIENCE)
    except JournalError as error:
        raise JournalError(error.wrong, error.right_and("nothing was changed"), source.name) from error
    except (sqlite3.Error, OSError, ValueError) as error:
        raise JournalError(f"{source.name} is not a sound journal", "nothing was changed") from error
    if not facts:
        raise JournalError(f"{source.name} is an empty journal", "nothing was changed")
    return facts


def _all_known(path: Path, there: _There) -> Restored:
    """Begin with the longest unbroken run of facts, and add what the others know beyond it."""
    copies = {copy: facts for copy in backup.backups(path) if (facts := backup.good_facts(copy))}
    source = max(copies, key=lambda copy: len(copies[copy]), default=None)
    in_copies: list[Fact] = []
    for facts in sorted(copies.values(), key=len, reverse=True):
        in_copies = merged(in_copies, facts)
    for copy in set(backup.backups(path)) - set(copies):
        in_copies = merged(in_copies, _readable(copy))
    run = [fact for n, fact in enumerate(there.facts, 1) if fact.id == n]
    if source is None or len(run) >= len(copies[source]):
        source, whole = None, merged(merged(run, in_copies), there.facts)
    else:
        whole = merged(in_copies, there.facts)
    if there.sound and len(whole) == len(there.facts):
        raise JournalError(_sound(path, whole))
    if not whole:
        wrong = "there is no good backup, and nothing in it can be read"
        raise JournalError(wrong, "move it away to begin a new one", path.name)
    return Restored(source, tuple(whole), len(whole) - len(in_copies), gone=there.gone_beside(in_copies))


def _sound(path: Path, facts: list[Fact]) -> str:
    if not facts:
        return f"{path.name}: nothing was ever logged, and there is no backup; nothing was done"
    return (
        f"{path.name} is sound and has all {len(facts)} facts of its backups, the last one {facts[-1].about}; "
        "nothing was done (`shopday restore FILE` insists on a backup)"
    )


# ------------------------------------------------------------ on the disk


@contextmanager
def _held(path: Path) -> Iterator[sqlite3.Connection | None]:
    """Keep other programs from writing to the file meanwhile, as their facts would end up in the file kept aside.
    None if the file cannot be opened: nobody can write to it then."""
    with ExitStack() as stack:
        conn = None
        if path.exists() or path.is_symlink():
            try:
                conn = stack.enter_context(database.opened(path, backup.PATIENCE))
                conn.execute("BEGIN EXCLUSIVE")
            except sqlite3.Error as error:
                if not is_damage(error):
                    raise
                conn = None
        yield conn


def _put_in_place(path: Path, facts: Sequence[Fact], sound: bool) -> Path | None:
    """Write a new journal, read it back, and rename it into place; the previous file is kept."""
    _clear_away(path)
    part = path.with_name(f"{path.name}.{os.getpid()}.part")
    try:
        with database.writing(part, backup.PATIENCE) as conn:
            for fact in facts:
                database.insert(conn, fact)
        if database.examine(part, backup.PATIENCE) != list(facts):
            raise sqlite3.DatabaseError("it does not read as it was written")
        aside = _aside(path, "replaced" if sound else "broken")
        part.replace(path)
        sync_folder(path.parent)
    finally:
        part.unlink(missing_ok=True)
    return aside


def _clear_away(path: Path) -> None:
    """Delete what killed programs left behind."""
    for part in path.parent.glob(f"{path.name}.*.part*"):
        if part.stat().st_mtime < time.time() - LEFT_BEHIND:
            part.unlink(missing_ok=True)


def _aside(path: Path, why: str) -> Path | None:
    """Keep the present file, and the undo file it may need, under a free name that tells why. It also stays in its
    place until the new one replaces it."""
    if not path.exists():
        return None
    tries = (path.with_name(f"{path.stem}-{why}{f'-{n}' if n > 1 else ''}.db") for n in count(1))
    aside = next(file for file in tries if not file.exists())
    try:
        os.link(path, aside)
    except OSError:  # the file system has no links
        shutil.copy2(path, aside)
    undo = Path(f"{path}-journal")
    if undo.exists():
        undo.replace(f"{aside}-journal")
    return aside


def _put_away(path: Path) -> Iterator[Path]:
    """Rename copies that know more than the person wants, so that they are no copies of this journal any more."""
    while (copy := backup.most_lost(path, backup.PATIENCE)[0]) is not None:
        names = (copy.with_name(f"before-restore{f'-{n}' if n > 1 else ''}-{copy.name}") for n in count(1))
        name = next(name for name in names if not name.exists())
        copy.rename(name)
        yield name
