"""A fact ready for the journal, and corrections of the time of a logged one."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from shopday.journal.state import PassState, ShopState
from shopday.planning.encoding.passes import pass_count
from shopday.shop.faults import ShopdayError
from shopday.shop.step_graph import StepRef

Said = Callable[[int], str]
"""Tells a minute in words."""


class LogEntry(NamedTuple):
    """A fact ready for the journal. begins: it begins the pass, rather than resuming it."""

    kind: str
    address: str
    pass_no: int
    minute: int
    data: Mapping[str, Any] = {}
    begins: bool = False


def corrected(
    kind: str, ref: StepRef, name: str, state: ShopState, pass_no: int | None, minute: int, said: Said
) -> LogEntry:
    """Move the start or finish of a pass (None: the last one logged) to another minute. name: of the step. Raises
    ShopdayError."""
    number = pass_no or _last_logged(ref, state)
    log = state.passes.get((ref.address, number)) if number else None
    logged = log is not None and (log.started if kind == "start" else log.finished) is not None
    if kind not in ("start", "finish") or log is None or number is None or not logged or log.skipped:
        raise ShopdayError(f"no {kind} of {name} is logged that could be corrected")
    if kind == "start":
        _require_start(name, log, minute, said)
    elif log.spells:
        require_not_before(name, "started", log.spells[-1].start, minute, said)
    data = {"people": list(log.people)} if kind == "start" and log.people else {}
    return LogEntry(kind, ref.address, number, minute, data)


def _last_logged(ref: StepRef, state: ShopState) -> int | None:
    passes = range(pass_count(ref, state), 0, -1)
    return next((number for number in passes if (ref.address, number) in state.passes), None)


def _require_start(name: str, log: PassState, minute: int, said: Said) -> None:
    """Check the minute for the last time the pass was taken up. Raises ShopdayError if it is impossible."""
    if (put_down := log.spells[-1].end) is not None:
        wrong = f"{name} was put down {said(put_down)}, so when it was taken up cannot be corrected"
        raise ShopdayError(wrong, "undo that instead")
    if log.finished is not None and minute >= log.finished:
        raise ShopdayError(
            f"{name} was finished {said(log.finished)}, before {said(minute)}", "give an earlier time"
        )
    if len(log.spells) > 1:
        require_not_before(name, "put down", log.spells[-2].end, minute, said)


def require_not_before(name: str, deed: str, at: int | None, minute: int, said: Said) -> None:
    """Raise ShopdayError if the minute is before `at`, when the step was started or put down (`deed`)."""
    if at is not None and minute < at:
        raise ShopdayError(f"{name} was {deed} {said(at)}, after {said(minute)}", "give a later time")
