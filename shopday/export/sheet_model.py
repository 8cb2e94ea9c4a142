"""The content of a sheet of paper: sections of rows, without control characters, cut to what one page holds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SheetRow:
    """A row. at: its time, "" for a line of a list; tick: it has a box, as somebody does it."""

    what: str
    at: str = ""
    tick: bool = False


@dataclass(frozen=True, slots=True)
class SheetSection:
    """A section. name: its heading; told: a sentence instead of rows."""

    name: str
    rows: tuple[SheetRow, ...] = ()
    told: str = ""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet. made: when it was planned. It has room for a pencil at its foot."""

    shop: str
    date: str
    made: str
    sections: tuple[SheetSection, ...]


PENCIL = 4
"""Empty lines at the foot."""


def most(rows: Iterable[SheetRow], number: int) -> tuple[SheetRow, ...]:
    """The first `number` rows; the rest as "and 3 more"."""
    found = list(rows)
    over = len(found) - number
    return (*found[:number], SheetRow(f"and {over} more")) if over > 0 else tuple(found)
