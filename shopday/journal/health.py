"""Checks whether the journal is sound, and whether its backups could restore it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from pathlib import Path

from shopday.journal import backup, database
from shopday.journal.backup import FOLDER
from shopday.journal.conflict_copies import conflict_copies, other_version
from shopday.journal.errors import JournalError
from shopday.journal.journal import Journal

Complaint = tuple[str, str, str]
"""The file, what is wrong with it, and what helps."""

FIX = "`shopday check --fix`"


def complaints(journal: Journal) -> list[Complaint]:
    """What is wrong with a journal, its backups, and other computers' versions of it."""
    own = journal_complaint(journal)
    found = [] if own is None else [own]
    found += [
        (f"{FOLDER}/{copy.name}", wrong, f"{FIX} puts it away")
        for copy in backup.backups(journal.path)
        if (wrong := trouble_of_copy(copy))
    ]
    found += [(copy.name, wrong, f"{FIX} adds them") for copy, wrong in other_versions(journal.path)]
    return found


def other_versions(path: Path) -> Iterator[tuple[Path, str]]:
    """Versions of the journal from other computers, each with what is wrong with it."""
    for copy, new in conflict_copies(path).items():
        yield copy, other_version(new)


def journal_complaint(journal: Journal) -> Complaint | None:
    try:
        journal.check()
        journal.version()
    except JournalError as error:
        return error.file or journal.path.name, error.wrong, error.right
    return None


def trouble_of_copy(copy: Path) -> str:
    """Why the copy could not help to restore; "" if it could."""
    try:
        return "" if database.examine(copy, backup.PATIENCE) else "this backup is empty"
    except JournalError as error:
        return error.wrong
    except (sqlite3.Error, OSError, ValueError):
        return "this backup is not sound"


def remark(journal: Journal) -> str:
    """A risk, though nothing is wrong: facts that no backup has; "" if there are none. Raises JournalError."""
    facts = journal.all_facts()
    if not facts or backup.ends_with(journal.path, facts[-1]):
        return ""
    copy = backup.newest_good(journal.path)
    copied = len(backup.good_facts(copy)) if copy else 0
    if copied >= len(facts):
        return ""
    helps = f"{FIX} makes one, and so does the next logged fact, where {FOLDER} can be written."
    if copy is None:
        return f"{journal.path.name} has no backup: {helps}"
    return f"The newest backup, {FOLDER}/{copy.name}, lacks the last {len(facts) - copied} of {len(facts)} facts: {helps}"
