"""The changes made in this session, to be undone and redone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field, replace

from shopday.shop.faults import ShopdayError


class EditConflictError(ShopdayError):
    """The change can never be undone: somebody has changed the same since."""


@dataclass(frozen=True)
class Change:
    """One change.

    what:       its name, as a noun: "finish of Oil (Oak coat rack)".
    at:         when it was made.
    undo, redo: raise ShopdayError if that is not possible now, EditConflictError if it never will be.
    """

    what: str
    at: dt.datetime
    undo: Callable[[], object]
    redo: Callable[[], object]


@dataclass
class UndoList:
    """The changes. done: newest last; undone: those undone since the last new change, newest last."""

    done: list[Change] = field(default_factory=list)
    undone: list[Change] = field(default_factory=list)

    def add(self, change: Change) -> None:
        self.done.append(change)
        self.undone.clear()

    def extend(self, undo: Callable[[], object], redo: Callable[[], object]) -> None:
        """Do more when the last change is undone or redone."""
        last = self.done.pop()
        self.done.append(
            replace(last, undo=lambda: (last.undo(), undo()), redo=lambda: (last.redo(), redo()))
        )

    def undo(self, change: Change) -> None:
        """Undo the last change here, or an earlier one that is not in the list."""
        _move(change, self.done, self.undone, change.undo)

    def redo(self, change: Change) -> None:
        _move(change, self.undone, self.done, change.redo)


def _move(change: Change, source: list[Change], target: list[Change], act: Callable[[], object]) -> None:
    known = bool(source) and source[-1] is change
    try:
        act()
    except EditConflictError:  # the next undo takes the change before it
        del source[len(source) - known :]
        raise
    del source[len(source) - known :]
    target.append(change)
