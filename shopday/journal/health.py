"""Is the journal sound, and would its backups help if it were not?"""

from __future__ import annotations

from shopday.journal.backup import FOLDER, backups, is_good
from shopday.journal.errors import JournalError
from shopday.journal.journal import Journal


def complaints(journal: Journal) -> list[tuple[str, str, str]]:
    """What is wrong with a journal and its backups: the file, what is wrong with it, what helps."""
    found = [
        (f"{FOLDER}/{copy.name}", "this backup is not sound", "delete it")
        for copy in backups(journal.path)
        if not is_good(copy)
    ]
    try:
        journal.check()
    except JournalError as error:
        wrong, _, right = str(error).removeprefix(f"{journal.path.name}: ").partition("; ")
        found.insert(0, (journal.path.name, wrong, right))
    return found


def remark(journal: Journal) -> str:
    """What is not wrong and yet a risk; "" for nothing."""
    if backups(journal.path) or not journal.version():
        return ""
    return f"{journal.path.name} has no backup: one is made with the next logged fact, where {FOLDER} can be written."
