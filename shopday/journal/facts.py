"""Facts: what a journal is made of."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

UNDO = "undo"
REDO = "redo"

IN_WORDS = {
    "start": "a start",
    "pause": "a pause",
    "finish": "a finish",
    "skip": "a skip",
    "again": "a further pass",
    "arrived": "an arrival",
    "close-day": "a closed day",
    "pin": "a pin",
    "unpin": "a pin taken out",
    "reading": "a temperature",
    "ordered": "an order",
    "asked": "a quote asked for",
    "moisture": "a moisture",
    "tested": "a test",
    UNDO: "a taking back",
    REDO: "a putting back",
}
KINDS = frozenset(IN_WORDS)
"""Every kind of fact; any other in a file comes from damage. A new kind needs a new schema."""

MINUTES = range(4_000_000_000)
SECONDS = range(MINUTES.stop * 60)
PASSES = range(100_000)
"""What a fact may hold (the years 1970 to 9575); anything beyond comes from damage, and could not become a date."""


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing that happened.

    kind:    one of KINDS.
    at:      when it happened, in minutes since the Unix epoch.
    written: when it was written, in seconds since the Unix epoch.
    data:    further data, depending on the kind.
    sum:     a check sum over this fact and the one before it; "" if none was written.
    """

    id: int
    kind: str
    address: str
    pass_no: int
    at: int
    written: int
    data: dict[str, Any] = field(default_factory=dict)
    sum: str = field(default="", compare=False)

    @property
    def about(self) -> str:
        """The fact in a few words: "a finish of table/top/glue"."""
        return f"{IN_WORDS[self.kind]} of {self.address}" if self.address else IN_WORDS[self.kind]


def live(facts: Iterable[Fact]) -> list[Fact]:
    """The facts that count, in the order written: those not undone, or redone since."""
    facts = list(facts)
    gone: set[object] = set()
    for fact in filter(_tells_of_another, facts):
        (gone.add if fact.kind == UNDO else gone.discard)(fact.data["of"])
    return [fact for fact in facts if fact.kind not in (UNDO, REDO) and fact.id not in gone]


def last_live(newest_first: Iterable[Fact]) -> Fact | None:
    """The last fact that counts, without reading further back; None if there is none."""
    said: dict[object, str] = {}
    for fact in newest_first:
        if _tells_of_another(fact):
            said.setdefault(fact.data["of"], fact.kind)
        elif fact.kind not in (UNDO, REDO) and said.get(fact.id) != UNDO:
            return fact
    return None


def last_undone(newest_first: Iterable[Fact]) -> int | None:
    """The number of the fact that was undone last and not redone since; None if there is none, or if something new
    was logged after it."""
    put_back: list[object] = []
    for fact in newest_first:
        if fact.kind not in (UNDO, REDO):
            return None
        if not _tells_of_another(fact):
            continue
        if fact.kind == REDO:
            put_back.append(fact.data["of"])
        elif fact.data["of"] in put_back:
            put_back.remove(fact.data["of"])
        else:
            return int(fact.data["of"])
    return None


def _tells_of_another(fact: Fact) -> bool:
    """True if the fact undoes or redoes another, and says which."""
    return fact.kind in (UNDO, REDO) and isinstance(fact.data.get("of"), int)
