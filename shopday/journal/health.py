"""Is the journal sound, and would its backups help if it were not?"""

from __future__ import annotations

from shopday.journal.backup import FOLDER, backups, is_good
from shopday.journal.errors import JournalError
from shopday.journal.journal import Journal


def complaints(journal: Journal) -> list[str]:
    """What is wrong with a journal and its backups, a line each with the way out; none when all is well."""
    copies = backups(journal.path)
    found = [f"{FOLDER}/{copy.name} is no sound backup; delete it" for copy in copies if not is_good(copy)]
    try:
        facts = journal.check()
    except JournalError as error:
        return [str(error), *found]
    if facts and not copies:
        found.append(
            f"{journal.path.name} has no backup; see that {FOLDER} beside it can be written and log something"
        )
    return found
