"""Remedies for a journal and its copies that lose nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from itertools import count
from pathlib import Path

from shopday.journal import backup
from shopday.journal.errors import JournalError
from shopday.journal.health import journal_complaint, other_versions, remark, trouble_of_copy
from shopday.journal.journal import Journal
from shopday.journal.journal_restore import merge, restore


@dataclass(frozen=True)
class Remedy:
    """A remedy.

    wrong: what is wrong, in a sentence.
    offer: what would be done, as a question.
    apply: does it, and returns the result in a sentence. Raises JournalError or OSError.
    """

    wrong: str
    offer: str
    apply: Callable[[], str]


def journal_remedies(journal: Journal) -> Iterator[Remedy]:
    """Yield one remedy after another; each is found after the earlier ones were accepted or declined."""
    path = journal.path
    if complaint := journal_complaint(journal):
        offer = "Put the journal together from its backups and all that can be read of it, and keep this file beside it"
        yield Remedy(_told(*complaint[:2]), offer, partial(_restored, path))
    if journal_complaint(journal):
        return
    for other, wrong in other_versions(path):
        yield Remedy(_told(other.name, wrong), "Add them to the journal", partial(_merged, path, other))
    for copy in backup.backups(path):
        if wrong := trouble_of_copy(copy):
            offer = "Keep it under another name, so that it counts as a backup no more"
            yield Remedy(_told(f"{backup.FOLDER}/{copy.name}", wrong), offer, partial(_put_away, copy))
    if wrong := remark(journal):
        yield Remedy(wrong, "Make a backup now", partial(_copied, journal))


def _told(file: str, wrong: str) -> str:
    return f"{file}: {wrong}."


def _restored(path: Path) -> str:
    found = restore(path)
    return f"{path.name} has {len(found.facts)} facts now, the last one {found.facts[-1].about}."


def _merged(path: Path, other: Path) -> str:
    return f"{merge(path, [other])} facts were added to {path.name}."


def _put_away(copy: Path) -> str:
    names = (copy.with_name(f"broken{f'-{n}' if n > 1 else ''}-{copy.name}") for n in count(1))
    name = next(name for name in names if not name.exists())
    copy.rename(name)
    return f"It is {name.name} now."


def _copied(journal: Journal) -> str:
    if trouble := backup.daily(journal.path, journal.clock(), journal.patience):
        raise JournalError(f"no backup could be made, {trouble}", file=journal.path.name)
    return "A backup was made."
