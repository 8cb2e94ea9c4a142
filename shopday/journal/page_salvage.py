"""Reads facts from the bytes of a damaged journal, without its tables, indexes or header.

Every position in the file is tried as the start of a row (a cell of a table's leaf page); what does not decode to a
fact is skipped. Format of cells, records and overflow pages: "Database File Format",
https://www.sqlite.org/fileformat2.html, sections 1.6 and 2.1.
"""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass

from shopday.journal.fact_chain import fact_sum
from shopday.journal.fact_rows import fact_of
from shopday.journal.facts import Fact

PAGE_SIZES = tuple(2**n for n in range(9, 17))
SERIAL_BYTES = (0, 1, 2, 3, 4, 6, 8)
"""The length of an integer by its serial type; 8 and 9 are the numbers 0 and 1, without a byte."""
COLUMNS = (7, 8)
"""The columns of a row without and with a check sum."""
SHORTEST = 16
"""Bytes of the shortest record of a fact: its header, a kind and "{}"."""
HEADERS = frozenset(bytes([length]) for length in range(COLUMNS[0] + 1, 24))
"""The possible lengths of a record's header."""


@dataclass(frozen=True)
class Salvaged:
    """What was read of a damaged journal.

    facts: those that can be trusted, in the order of their numbers, each once.
    gone:  the numbers of the others.
    """

    facts: tuple[Fact, ...]
    gone: tuple[int, ...]


def salvage(data: bytes) -> Salvaged:
    found: dict[int, list[Fact]] = defaultdict(list)
    for id, fact in _candidates(data):
        same = [other for other in found[id] if fact == other and fact.sum == other.sum]
        if fact is not None and not same:
            found[id].append(fact)
    trusted = _trusted(found)
    end = max(trusted, default=0)
    while end + 1 in found:
        end += 1
    gone = tuple(id for id in range(1, end + 1) if id not in trusted)
    return Salvaged(tuple(trusted[id] for id in sorted(trusted)), gone)


def _trusted(found: dict[int, list[Fact]]) -> dict[int, Fact]:
    """For each number the fact whose check sum follows from the one before. If that is lost, or no sums were written
    yet, the first candidate. A fact whose own sum is damaged is confirmed by the next fact's sum."""
    trusted: dict[int, Fact] = {}
    sums: dict[int, set[str]] = {0: {""}}
    for id in sorted(found):
        before = sums.get(id - 1)
        right = {fact_sum(sum, fact): fact for fact in found[id] for sum in before or ()}
        sums[id] = {fact.sum for fact in found[id]} | set(right)
        follow = {fact_sum(sum, fact) == fact.sum and sum for fact in found.get(id + 1, ()) for sum in right}
        proven = [fact for sum, fact in right.items() if fact.sum in ("", sum) or sum in follow]
        unproven = [] if before else found[id]
        if chosen := next(iter((*sorted(proven, key=lambda fact: fact.sum == ""), *unproven)), None):
            trusted[id] = chosen
    return trusted


def _candidates(data: bytes) -> Iterator[tuple[int, Fact | None]]:
    """The number of each row with its fact; None if it is a row but no fact."""
    for start in range(len(data) - SHORTEST):
        length, at = _varint(data, start)
        if not SHORTEST <= length <= len(data):
            continue
        id, at = _varint(data, at)
        if not id or data[at : at + 1] not in HEADERS:
            continue
        for size in PAGE_SIZES if length > _local(length, PAGE_SIZES[0]) else PAGE_SIZES[:1]:
            with suppress(IndexError, ValueError):
                yield id, _fact((id, *_record(_payload(data, at, length, size))))
                break


def _fact(row: tuple[object, ...]) -> Fact | None:
    with suppress(sqlite3.DatabaseError):
        return fact_of(row)
    return None


def _payload(data: bytes, at: int, length: int, size: int) -> bytes:
    """The record of a cell, with its overflow into pages of this size."""
    local = _local(length, size)
    payload = data[at : at + local]
    if local < length:
        next_page = int.from_bytes(data[at + local : at + local + 4], "big")
        while next_page and len(payload) < length:
            page = data[(next_page - 1) * size : next_page * size]
            if len(page) <= 4:  # the file ends within the page
                raise ValueError
            payload += page[4 : 4 + length - len(payload)]
            next_page = int.from_bytes(page[:4], "big")
    if len(payload) != length:
        raise ValueError
    return payload


def _local(length: int, size: int) -> int:
    """How many bytes of a record are in the cell itself."""
    most, least = size - 35, (size - 12) * 32 // 255 - 23
    if length <= most:
        return length
    kept = least + (length - least) % (size - 4)
    return kept if kept <= most else least


def _record(payload: bytes) -> Iterator[object]:
    """The columns after the row's number; "" for a missing check sum."""
    header, at = _varint(payload, 0)
    if header > len(payload):
        raise ValueError
    types = []
    while at < header:
        kind, at = _varint(payload, at)
        types.append(kind)
    if at != header or len(types) not in COLUMNS or types[0] != 0:
        raise ValueError
    for kind in types[1:]:
        value, at = _value(payload, kind, at)
        yield value
    if at != len(payload):
        raise ValueError
    if len(types) == COLUMNS[0]:
        yield ""


def _value(payload: bytes, kind: int, at: int) -> tuple[object, int]:
    if kind in (8, 9):
        return kind - 8, at
    if kind < len(SERIAL_BYTES):
        end = at + SERIAL_BYTES[kind]
        return int.from_bytes(payload[at:end], "big", signed=True), end
    if kind < 13 or kind % 2 == 0:
        raise ValueError
    end = at + (kind - 13) // 2
    return payload[at:end].decode(), end


def _varint(data: bytes, at: int) -> tuple[int, int]:
    """A number of 1 to 9 bytes, and the position after it; 0 if the data ends within it."""
    value = 0
    for n, byte in enumerate(data[at : at + 9]):
        if n == 8:
            return value << 8 | byte, at + 9
        value = value << 7 | byte & 0x7F
        if byte < 0x80:
            return value, at + n + 1
    return 0, len(data)
