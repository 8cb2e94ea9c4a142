"""What was done in this session, to be undone and redone: each change knows its name and both ways."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field

from shopday.shop.faults import ShopdayError


class EditConflictError(ShopdayError):
    """It cannot be taken back any more: somebody else was there since."""


@dataclass(frozen=True)
class Change:
    """what: its name, as a noun: "finish of Oil (Oak coat rack)"; at: when it was done. undo, redo: raise ShopdayError
    where that is not possible (now), EditConflictError where it never will be."""

    what: str
    at: dt.datetime
    undo: Callable[[], object]
    redo: Callable[[], object]


@dataclass
class UndoList:
    """done: newest last; undone: what was undone since something new was done, newest last."""

    done: list[Change] = field(default_factory=list)
    undone: list[Change] = field(default_factory=list)

    def add(self, change: Change) -> None:
        self.done.append(change)
        self.undone.clear()

    def undo(self, change: Change) -> None:
        """Undo the last change here, or one from before that is not in the list."""
        _move(change, self.done, self.undone, change.undo)

    def redo(self, change: Change) -> None:
        _move(change, self.undone, self.done, change.redo)


def _move(change: Change, source: list[Change], target: list[Change], act: Callable[[], object]) -> None:
    known = bool(source) and source[-1] is change
    try:
        act()
    except EditConflictError:  # the next time comes what was done before it
        del source[len(source) - known :]
        raise
    del source[len(source) - known :]
    target.append(change)
