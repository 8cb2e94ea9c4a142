"""Flip one bit of a journal at a time: is it told, harmless, or read as other facts?

By hand: python tests/journal/bits.py 10000
"""

from __future__ import annotations

import random
import sys
import tempfile
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopday.journal.errors import JournalError
from shopday.journal.facts import Fact
from shopday.journal.journal import Journal


def flips(content: bytes, logged: list[Fact], times: int, chance: random.Random) -> Counter[str]:
    """How many flipped bits are "told", "harmless", or read as "other" facts than were logged."""
    found: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "journal.db"
        for _ in range(times):
            spoilt = bytearray(content)
            spoilt[chance.randrange(len(spoilt))] ^= 1 << chance.randrange(8)
            path.write_bytes(spoilt)
            try:
                found["harmless" if Journal(path).all_facts() == logged else "other"] += 1
            except JournalError:
                found["told"] += 1
    return found


def some_facts(path: Path, number: int) -> list[Fact]:
    """A journal as a shop fills it: nearly every byte of its last page in use."""
    journal = Journal(path)
    for n in range(number):
        journal.append(
            ("start", "finish")[n % 2],
            f"job-{n // 9}/part/step-{n // 2}",
            1,
            29_000_000 + n,
            people=["maker"],
        )
        if n % 7 == 6:
            journal.undo()
    return journal.check()


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as room:
        path = Path(room) / "journal.db"
        logged = some_facts(path, 120)
        print(dict(flips(path.read_bytes(), logged, int(sys.argv[1]), random.Random(int(sys.argv[1])))))
