"""A fact ready for the journal, and one that says when something really was that was logged with a wrong time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from shopday.journal.state import PassState, ShopState
from shopday.planning.encoding.passes import pass_count
from shopday.shop.faults import ShopdayError
from shopday.shop.step_graph import StepRef

Said = Callable[[int], str]
"""A minute as people say it."""


@dataclass(frozen=True, slots=True)
class LogEntry:
    """A fact ready for the journal. `begins`: the pass is begun by it, and not only taken up again."""

    kind: str
    address: str
    pass_no: int
    minute: int
    data: dict[str, Any] = field(default_factory=dict)
    begins: bool = False


def corrected(
    kind: str, ref: StepRef, state: ShopState, pass_no: int | None, minute: int, said: Said
) -> LogEntry:
    """The start or the finish of a pass (None: the last one logged) at another minute. Raises ShopdayError."""
    number = pass_no or _last_logged(ref, state)
    log = state.passes.get((ref.address, number)) if number else None
    logged = log is not None and (log.started if kind == "start" else log.finished) is not None
    if kind not in ("start", "finish") or log is None or number is None or not logged or log.skipped:
        raise ShopdayError(f"no {kind} of {ref.address} is logged that could be corrected")
    trouble = _start_trouble(log, minute, said) if kind == "start" else _finish_trouble(log, minute, said)
    if trouble:
        wrong, _, right = trouble.partition("; ")
        raise ShopdayError(f"{ref.address} {wrong}", right)
    data = {"people": list(log.people)} if kind == "start" and log.people else {}
    return LogEntry(kind, ref.address, number, minute, data)


def _last_logged(ref: StepRef, state: ShopState) -> int | None:
    passes = range(pass_count(ref, state), 0, -1)
    return next((number for number in passes if (ref.address, number) in state.passes), None)


def _start_trouble(log: PassState, minute: int, said: Said) -> str:
    last = log.spells[-1]
    if last.end is not None:
        return (
            f"was put down {said(last.end)}, so when it was taken up cannot be corrected; undo that instead"
        )
    if log.finished is not None and minute >= log.finished:
        return f"was finished {said(log.finished)}, before {said(minute)}; give an earlier time"
    before = log.spells[-2].end if len(log.spells) > 1 else None
    if before is not None and minute < before:
        return f"was put down {said(before)}, after {said(minute)}; give a later time"
    return ""


def _finish_trouble(log: PassState, minute: int, said: Said) -> str:
    if log.spells and minute < log.spells[-1].start:
        return f"was started {said(log.spells[-1].start)}, after {said(minute)}; give a later time"
    return ""
