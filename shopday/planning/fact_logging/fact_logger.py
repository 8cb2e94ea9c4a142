"""Checks whether a fact can be logged, and which pass it means."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from shopday.journal.state import LONGEST_AGAIN, MOST_AGAIN, PassState, ShopState
from shopday.planning.encoding.open_hours import OpenHours, Zone
from shopday.planning.encoding.passes import pass_count
from shopday.planning.fact_logging.log_entry import LogEntry, corrected, require_not_before
from shopday.planning.fact_logging.staffing import named, who_starts
from shopday.planning.plan import Moment, Plan, PlannedStep
from shopday.planning.step_names import full_name
from shopday.shop.faults import ShopdayError, nearest
from shopday.shop.folder import ShopFolder
from shopday.shop.step_graph import StepGraph, StepRef
from shopday.text.durations import work_text
from shopday.text.names import standing
from shopday.text.sentences import both
from shopday.text.times import date_text, moment_text

KINDS = ("start", "pause", "finish", "skip", "again", "arrived", "ordered", "asked", "moisture", "tested")

MOST_MOISTURE = 60
"""The highest reading of a moisture meter, in per cent (common practice)."""


class FactRequest(NamedTuple):
    """What somebody wants to log.

    at:       when it happened (None: now).
    pass_no:  the pass that was named (None: the next one).
    by:       who started it, by id or name (empty: as planned).
    details:  "ordered" and "asked": the dates "expected", when it arrives, and "call", when to ask again; "again":
              "passes" and "first", minutes of work before them; "moisture": "percent" and "board"; "tested":
              "longer", minutes until the wait is over.
    corrects: it was logged already, with a wrong time.
    """

    kind: str
    address: str
    at: Moment | None = None
    pass_no: int | None = None
    by: Sequence[str] = ()
    details: Mapping[str, Any] = {}
    corrects: bool = False


class FactLogger:
    """Checks facts against the files and the journal. plan: the plan that people follow."""

    def __init__(
        self,
        folder: ShopFolder,
        expansion: StepGraph,
        state: ShopState,
        zone: Zone,
        now: int,
        plan: Plan | None = None,
    ) -> None:
        self.folder, self.expansion, self.state, self.zone, self.now = folder, expansion, state, zone, now
        self.plan = plan

    def entry(self, wish: FactRequest) -> LogEntry:
        """The fact to write. Raises ShopdayError, which says what to do instead."""
        ref = self._ref(wish.address)
        minute = self.now if wish.at is None else self.zone.of(wish.at)
        if minute > self.now:
            raise ShopdayError(f"{self._said(minute)} is still to come", "log it when it has happened")
        if wish.kind not in KINDS:
            raise ShopdayError(f"no such thing to log as {wish.kind}", f"there is {both(KINDS)}")
        if wish.corrects:
            return corrected(wish.kind, ref, self._name(ref), self.state, wish.pass_no, minute, self._said)
        entry: LogEntry = getattr(self, f"_{wish.kind}")(ref, minute, wish)
        return entry

    def remark(self, kind: str, address: str, pass_no: int) -> str:
        """Which earlier steps were not finished when this one was started or finished, in a sentence; "" if all were."""
        if kind not in ("start", "finish") or pass_no > 1:
            return ""
        before = (self.expansion.steps[b.address] for b in self.expansion.before.get(address, ()))
        open_ = [ref.step.label for ref in before if not self._over(ref)]
        return (
            f"Logged, but {both(open_)} {'is' if len(open_) == 1 else 'are'} not finished yet in the journal."
            if open_
            else ""
        )

    # ------------------------------------------------------------ each kind: the pass it means, what to note

    def _start(self, ref: StepRef, minute: int, wish: FactRequest) -> LogEntry:
        if ref.step.arrives is not None:
            raise ShopdayError(
                f"{self._name(ref)} is a delivery and is never started", "log it as arrived when it is here"
            )
        number, log = self._next(ref, wish.pass_no)
        if log is not None and log.going:
            raise ShopdayError(
                f"{self._name(ref)} was started {self._said(log.spells[-1].start)} already",
                "log its finish, or undo the start",
            )
        if log is not None:
            require_not_before(self._name(ref), "put down", log.put_down, minute, self._said)
        data = {} if ref.step.absent else {"people": list(self._people(ref, number, minute, wish.by))}
        return LogEntry("start", ref.address, number, minute, data, log is None or log.started is None)

    def _pause(self, ref: StepRef, minute: int, wish: FactRequest) -> LogEntry:
        if ref.step.absent:
            raise ShopdayError(f"{self._name(ref)} is in nobody's hands here, so it cannot be put down")
        number, log = self._in_hand(ref, wish.pass_no)
        if log is not None and log.put_down is not None:
            raise ShopdayError(
                f"{self._name(ref)} was put down {self._said(log.put_down)} already",
                "start it to take it up again",
            )
        if log is None or not log.going:
            raise ShopdayError(
                f"{self._name(ref)} is not under way, so it cannot be put down", "log its start first"
            )
        self._not_before_start(ref, log, minute)
        return LogEntry("pause", ref.address, number, minute)

    def _finish(self, ref: StepRef, minute: int, wish: FactRequest) -> LogEntry:
        if ref.step.arrives is not None:
            return self._arrived(ref, minute, wish)
        number, log = self._in_hand(ref, wish.pass_no)
        self._pass_before_over(ref, number, log)
        self._not_before_start(ref, log, minute)
        return LogEntry("finish", ref.address, number, minute)

    def _skip(self, ref: StepRef, minute: int, wish: FactRequest) -> LogEntry:
        number, _ = self._in_hand(ref, wish.pass_no)
        return LogEntry("skip", ref.address, number, minute)

    def _again(self, ref: StepRef, minute: int, wish: FactRequest) -> LogEntry:
        if ref.step.absent:
            raise ShopdayError(f"{self._name(ref)} needs no hands, so there is no further pass of it")
        if (ref.address, 1) not in self.state.passes:
            raise ShopdayError(
                f"{self._name(ref)} was not started yet", "another pass can follow once the first has begun"
            )
        passes, first = wish.details.get("passes", 1), wish.details.get("first", 0)
        if not 1 <= passes <= MOST_AGAIN:
            raise ShopdayError(f"{passes} passes more are none or too many", f"write 1 to {MOST_AGAIN}")
        if first > LONGEST_AGAIN:
            raise ShopdayError(
                f"{work_text(first)} before it is more than {work_text(LONGEST_AGAIN)}", "add a step for it"
            )
        more = {"passes": passes} if passes > 1 else {}
        more |= {"first": first} if first else {}
        return LogEntry("again", ref.address, pass_count(ref, self.state) + 1, minute, more)

    def _arrived(self, ref: StepRef, minute: int, wish: FactRequest) -> LogEntry:
        if not ref.step.absent:
            raise ShopdayError(
                f"{self._name(ref)} is work in the shop, not something that arrives",
                "log its start or finish",
            )
        log = self.state.passes.get((ref.address, wish.pass_no or pass_count(ref, self.state)))
        if log is not None and log.finished is not None:
            raise ShopdayError(f"{self._name(ref)} arrived {self._said(log.finished)} already")
        number, _ = self._next(ref, wish.pass_no)
        return LogEntry("arrived", ref.address, number, minute)

    def _ordered(self, ref: StepRef, minute: int, wish: FactRequest) -> LogEntry:
        if ref.step.arrives is None:
            raise ShopdayError(f"{self._name(ref)} is nothing that arrives, so it is not ordered")
        return self._asked(ref, minute, wish)

    def _asked(self, ref: StepRef, minute: int, wish: FactRequest) -> LogEntry:
        if not ref.step.absent:
            raise ShopdayError(f"{self._name(ref)} is work in the shop", "nobody outside is asked for it")
        number, _ = self._next(ref, wish.pass_no)
        since = self.zone.date(minute)
        for day in wish.details.values():
            if day < since:
                said, from_on = (date_text(date, self.zone.date(self.now)) for date in (day, since))
                raise ShopdayError(f"{said} is past", f"name a day from {from_on} on")
        data = {name: day.isoformat() for name, day in wish.details.items()}
        return LogEntry(wish.kind, ref.address, number, minute, data)

    def _moisture(self, ref: StepRef, minute: int, wish: FactRequest) -> LogEntry:
        percent = wish.details["percent"]
        if not 0 < percent <= MOST_MOISTURE:
            raise ShopdayError(
                f"{percent:g} % is no moisture of wood", f"write one above 0 and up to {MOST_MOISTURE} %"
            )
        asked = [
            other for other in self._beside(ref) if other.step.moisture is not None and not self._over(other)
        ]
        if not asked:
            raise ShopdayError(
                f"nothing that is still to do in {self._name(ref)} asks for moisture",
                "write moisture = {} there",
            )
        data = {"percent": float(percent), "board": str(wish.details.get("board", ""))}
        return LogEntry("moisture", asked[0].address, 1, minute, data)

    def _beside(self, ref: StepRef) -> list[StepRef]:
        """The step itself, then the other steps of its part."""
        own = [r for r in self.expansion.steps.values() if (r.job, r.part) == (ref.job, ref.part)]
        return [ref, *(other for other in own if other.address != ref.address)]

    def _tested(self, ref: StepRef, minute: int, wish: FactRequest) -> LogEntry:
        """Concerns the wait that runs; one that is over by the clock can only be found to take longer."""
        number, row = self._waiting(ref, wish.pass_no)
        longer = int(wish.details.get("longer", 0))
        begun = [w for w in row.waits if not w.informs and self.zone.of(w.start) <= minute] if row else []
        if not begun:
            raise ShopdayError(
                f"no wait of {self._name(ref)} has begun {self._said(minute)}", "there is nothing to test"
            )
        if not longer and self.zone.of(begun[-1].end) <= minute:
            raise ShopdayError(
                f"{begun[-1].name} of {self._name(ref)} is over already", "say how much longer it takes"
            )
        return LogEntry(
            "tested", ref.address, number, minute, {"wait": begun[-1].name, "until": minute + longer}
        )

    def _waiting(self, ref: StepRef, pass_no: int | None) -> tuple[int, PlannedStep | None]:
        """The pass that was named, or the last finished one, with its row in the plan."""
        logs = self.state.passes
        known = [
            n
            for n in range(1, pass_count(ref, self.state) + 1)
            if (log := logs.get((ref.address, n))) and log.finished
        ]
        number = pass_no or max(known, default=1)
        row = self.plan.step(ref.address, number) if self.plan is not None and number in known else None
        return number, row

    # ------------------------------------------------------------ looking things up

    def _ref(self, address: str) -> StepRef:
        ref = self.expansion.steps.get(address)
        if ref is None:
            self.folder.require_read(address.split("/")[0])
            near = nearest(address, self.expansion.steps)
            hint = f"did you mean {near}?" if near else "write it as JOB/PART/STEP, or JOB/STEP"
            raise ShopdayError(f"no step {address!r}", hint)
        status = self.folder.jobs[ref.job].status
        if status != "live":
            raise ShopdayError(
                f"{self.folder.jobs[ref.job].title or ref.job} is {standing(status)}",
                'set its `status` to "live" before logging work on it',
            )
        return ref

    def _passes(self, ref: StepRef) -> Iterator[tuple[int, PassState | None]]:
        """The passes that are not finished, with their logs."""
        for number in range(1, pass_count(ref, self.state) + 1):
            log = self.state.passes.get((ref.address, number))
            if log is None or log.finished is None:
                yield number, log

    def _next(self, ref: StepRef, pass_no: int | None) -> tuple[int, PassState | None]:
        """The pass that was named, or the first that is not finished."""
        for number, log in self._passes(ref):
            if pass_no in (None, number):
                return number, log
        hint = "" if ref.step.absent else "; log one more pass if it needs that"
        raise ShopdayError(f"{self._name(ref)} is done already{hint}")

    def _in_hand(self, ref: StepRef, pass_no: int | None) -> tuple[int, PassState | None]:
        """The pass that was named, else the first that was begun, else the first that is not finished."""
        begun = (number for number, log in self._passes(ref) if log is not None and log.started is not None)
        return self._next(ref, next(begun, None) if pass_no is None else pass_no)

    def _pass_before_over(self, ref: StepRef, number: int, log: PassState | None) -> None:
        """Raise ShopdayError if the pass was not begun and the pass before it is not finished."""
        before = self.state.passes.get((ref.address, number - 1))
        if number > 1 and log is None and (before is None or before.finished is None):
            raise ShopdayError(f"pass {number - 1} of {self._name(ref)} is not finished", "log that first")

    def _not_before_start(self, ref: StepRef, log: PassState | None, minute: int) -> None:
        if log is not None and log.spells:
            require_not_before(self._name(ref), "started", log.spells[-1].start, minute, self._said)

    def _over(self, ref: StepRef) -> bool:
        log = self.state.passes.get((ref.address, pass_count(ref, self.state)))
        return log is not None and log.finished is not None

    def _people(self, ref: StepRef, pass_no: int, minute: int, by: Sequence[str]) -> tuple[str, ...]:
        if by:
            return named(self.folder.shop, by, ref.step.hands)
        row = self.plan.step(ref.address, pass_no) if self.plan is not None else None
        day = self.zone.date(minute)
        hours = OpenHours(self.folder.shop, self.zone, day, day + dt.timedelta(days=1), self.state.closed)
        return who_starts(hours, self.state, row.people if row else (), ref.step.hands, minute)

    def _name(self, ref: StepRef) -> str:
        return full_name(self.folder, ref)

    def _said(self, minute: int) -> str:
        return moment_text(self.zone.moment(minute), self.zone.moment(self.now))
