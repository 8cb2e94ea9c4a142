"""Compares two journals fact by fact, and merges them.

Facts of two files are the same if they say the same and were written in the same second; their numbers may differ.
"""

from __future__ import annotations

import json
from collections import defaultdict, deque
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from shopday.journal.facts import REDO, UNDO, Fact

Content = tuple[Any, ...]


def unknown_to(facts: Iterable[Fact], others: Iterable[Fact]) -> list[Fact]:
    """The others that are not among the facts, with their own numbers."""
    return [other for other, _ in _strangers(list(facts), others)]


def merged(facts: Iterable[Fact], others: Iterable[Fact]) -> list[Fact]:
    """The facts, followed by the others that are not among them, with new numbers. Undos and redos of facts that
    neither has are left out."""
    facts = list(facts)
    return [*facts, *(fact for _, fact in _strangers(facts, others))]


def _strangers(facts: list[Fact], others: Iterable[Fact]) -> list[tuple[Fact, Fact]]:
    """Each fact that is only among the others, as it is there and as it is numbered after the facts."""
    known: dict[Content, deque[int]] = defaultdict(deque)
    contents: dict[int, Content] = {}
    for fact in facts:
        known[_content(fact, contents)].append(fact.id)
    found: list[tuple[Fact, Fact]] = []
    numbers: dict[int, int] = {}
    contents = {}
    last = facts[-1].id if facts else 0
    for other in others:
        content = _content(other, contents)
        if known[content]:
            numbers[other.id] = known[content].popleft()
            continue
        data = other.data
        if other.kind in (UNDO, REDO):
            if data.get("of") not in numbers:
                continue
            data = {**data, "of": numbers[data["of"]]}
        numbers[other.id] = last + len(found) + 1
        found.append((other, replace(other, id=numbers[other.id], data=data, sum="")))
    return found


def _content(fact: Fact, contents: dict[int, Content]) -> Content:
    """What the fact says, whatever its number. contents: of the earlier facts in its file, by number."""
    said: object = json.dumps(fact.data, sort_keys=True)
    if fact.kind in (UNDO, REDO):
        said = hash(contents.get(fact.data.get("of", 0)))
    content = (fact.kind, fact.address, fact.pass_no, fact.at, fact.written, said)
    contents[fact.id] = content
    return content
