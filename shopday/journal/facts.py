"""Facts: what a journal is made of."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

UNDO = "undo"

MINUTES = range(4_000_000_000)
PASSES = range(100_000)
"""What a fact may hold (the years 1970 to 9575): more comes from damage alone, and no date can be made of it."""


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing that happened.

    kind:    "start", "finish", "again", "arrived", "close-day", "pin", "unpin", "reading", "undo"; a kind
             this program does not know is kept and means nothing to it.
    at:      when it happened, in minutes since the Unix epoch.
    written: when it was written down, in seconds since the Unix epoch.
    data:    what else there is to know; depends on the kind.
    """

    id: int
    kind: str
    address: str
    pass_no: int
    at: int
    written: int
    data: dict[str, Any] = field(default_factory=dict)


def live(facts: Iterable[Fact]) -> list[Fact]:
    """The facts that were not taken back, in the order written. Taking back is itself never taken back."""
    facts = list(facts)
    gone = {fact.data.get("of") for fact in facts if fact.kind == UNDO and _is_id(fact.data.get("of"))}
    return [fact for fact in facts if fact.kind != UNDO and fact.id not in gone]


def last_live(newest_first: Iterable[Fact]) -> Fact | None:
    """The last fact that was not taken back, looking no farther than it; None when there is none."""
    gone: set[object] = set()
    for fact in newest_first:
        if fact.kind != UNDO and fact.id not in gone:
            return fact
        if fact.kind == UNDO and _is_id(fact.data.get("of")):
            gone.add(fact.data["of"])
    return None


def _is_id(value: object) -> bool:
    return isinstance(value, int)
