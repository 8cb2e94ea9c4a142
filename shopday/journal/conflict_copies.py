"""Other versions of the journal that a file synchronisation program left next to it.

Such programs keep the file of one computer under its name, and that of the other under a name made from it: "journal
(conflicted copy).db", "journal.sync-conflict-20261127.db", "journal-PC.db".
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from shopday.file_stamps import FileStamps, file_stamps
from shopday.journal import backup, database
from shopday.journal.fact_merge import unknown_to
from shopday.journal.facts import Fact

KEPT_ENDINGS = ("-broken", "-replaced")
"""Endings of names under which restoring keeps a file on purpose."""


def conflict_copies(path: Path) -> dict[Path, list[Fact]]:
    """Other versions of a journal, each with the facts that only it knows; none if the journal cannot be read."""
    known = {file: facts for file in _beside(path) if (facts := backup.good_facts(file))}
    if not known:
        return {}
    mine = database.read_database(path, backup.PATIENCE) if path.exists() else []
    return {file: new for file, facts in known.items() if (new := unknown_to(mine, facts))}


class ConflictWatch:
    """Notices other versions of a journal while programs work with it; reads them again only if a file has changed."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._seen: tuple[FileStamps, tuple[str, ...]] = (), ()

    def told(self) -> tuple[str, ...]:
        """A sentence for each other version that knows more than the journal. Raises JournalError if the journal
        cannot be read."""
        others = _beside(self.path)
        stamps = file_stamps((*others, self.path), self.path.parent) if others else ()
        if stamps != self._seen[0]:
            found = conflict_copies(self.path)
            self._seen = (
                stamps,
                tuple(
                    f"{copy.name}: {other_version(new)}. `shopday check --fix` adds them."
                    for copy, new in found.items()
                ),
            )
        return self._seen[1]


def other_version(new: Sequence[Fact]) -> str:
    """What is wrong with another version of the journal that has these further facts."""
    s = "s" if len(new) > 1 else ""
    return f"it is another version of the journal, with {len(new)} fact{s} of its own"


def _beside(path: Path) -> list[Path]:
    return [
        file
        for file in sorted(path.parent.glob(f"{path.stem}*.db"))
        if file != path and not file.stem.removeprefix(path.stem).startswith(KEPT_ENDINGS)
    ]
