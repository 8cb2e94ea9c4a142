"""Versions of the journal that a program which synchronises folders left beside it.

Such programs keep one of two computers' files under its name, and the other under a name made of it: "journal
(conflicted copy).db", "journal.sync-conflict-20261127.db", "journal-PC.db".
"""

from __future__ import annotations

from pathlib import Path

from shopday.journal import backup, database
from shopday.journal.fact_merge import unknown_to
from shopday.journal.facts import Fact

OWN = ("-broken", "-replaced")
"""Ends of names under which restoring keeps a file, which was left on purpose."""


def conflict_copies(path: Path) -> dict[Path, list[Fact]]:
    """Other versions of a journal, each with the facts that only it knows; none where the journal cannot be read."""
    others = [
        file
        for file in sorted(path.parent.glob(f"{path.stem}*.db"))
        if file != path and not file.stem.removeprefix(path.stem).startswith(OWN)
    ]
    known = {file: facts for file in others if (facts := backup.good_facts(file))}
    if not known:
        return {}
    mine = database.read_database(path, backup.PATIENCE) if path.exists() else []
    return {file: new for file, facts in known.items() if (new := unknown_to(mine, facts))}
