"""Check sums that chain the facts: each is over a fact and the sum of the fact before it.

A changed bit breaks the sum of its row. If two journals have the same sum at the same number, they have the same
facts up to there.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Iterator
from dataclasses import replace
from hashlib import blake2b

from shopday.journal.facts import Fact


def fact_sum(before: str, fact: Fact) -> str:
    """16 hexadecimal digits. before: the sum of the fact before, "" for the first."""
    row = [before, fact.id, fact.kind, fact.address, fact.pass_no, fact.at, fact.written, fact.data]
    return blake2b(json.dumps(row, sort_keys=True).encode(), digest_size=8).hexdigest()


def chained(facts: Iterable[Fact], last: Fact | None = None) -> Iterator[Fact]:
    """The facts that follow `last`, each with its sum. Raises DatabaseError if one is missing or does not match its
    sum."""
    number, before = (last.id, last.sum) if last else (0, "")
    for fact in facts:
        number += 1
        if fact.id != number:
            raise sqlite3.DatabaseError(f"row {number} is missing")
        right = fact_sum(before, fact)
        if fact.sum not in ("", right):
            raise sqlite3.DatabaseError(f"row {number} is not what was written")
        before = right
        yield replace(fact, sum=right)
