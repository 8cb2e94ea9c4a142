"""Is what somebody wants to log possible, and which pass is meant."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from shopday.journal.state import PassState, ShopState
from shopday.planning.hours import Zone
from shopday.planning.passes import pass_count
from shopday.planning.plan import Moment
from shopday.planning.wording import both, when
from shopday.shop.addresses import Expansion, StepRef
from shopday.shop.faults import ShopdayError, nearest
from shopday.shop.folder import ShopFolder

KINDS = ("start", "finish", "again", "arrived")


@dataclass(frozen=True, slots=True)
class Entry:
    """A fact ready for the journal."""

    kind: str
    address: str
    pass_no: int
    minute: int
    data: dict[str, Any] = field(default_factory=dict)


class Logger:
    """Checks one fact against what is written and what has happened."""

    def __init__(
        self, folder: ShopFolder, expansion: Expansion, state: ShopState, zone: Zone, now: int
    ) -> None:
        self.folder, self.expansion, self.state, self.zone, self.now = folder, expansion, state, zone, now

    def entry(self, kind: str, address: str, at: Moment | None = None) -> Entry:
        """The fact to write. Raises ShopdayError with what to do instead."""
        ref = self._ref(address)
        minute = self.now if at is None else self.zone.of(at)
        if minute > self.now:
            raise ShopdayError(f"{self._said(minute)} is still to come; log it when it has happened")
        if kind not in KINDS:
            raise ShopdayError(f"no such thing to log as {kind}; there is {both(KINDS)}")
        pass_no, data = getattr(self, f"_{kind}")(ref, minute)
        return Entry(
            "arrived" if kind == "finish" and ref.step.arrives else kind, address, pass_no, minute, data
        )

    def remark(self, kind: str, address: str, pass_no: int, minute: int) -> str:
        """What was not over when this was started, in a sentence; "" for nothing."""
        if kind != "start" or pass_no > 1:
            return ""
        open_ = [b.address for b in self.expansion.before.get(address, ()) if not self._over(b.address)]
        return (
            f"Noted, although {both(open_)} {'is' if len(open_) == 1 else 'are'} not logged as done."
            if open_
            else ""
        )

    # ------------------------------------------------------------ each kind: the pass it means, what to note

    def _start(self, ref: StepRef, minute: int) -> tuple[int, dict[str, Any]]:
        if ref.step.arrives is not None:
            raise ShopdayError(
                f"{ref.address} is a delivery and is never started; log it as arrived when it is here"
            )
        number, log = self._next(ref)
        if log is not None and log.started is not None:
            raise ShopdayError(
                f"{ref.address} was started {self._said(log.started)} already; log its finish, or undo the start"
            )
        return number, {} if ref.step.absent else {"people": list(self._people(ref))}

    def _finish(self, ref: StepRef, minute: int) -> tuple[int, dict[str, Any]]:
        if ref.step.arrives is not None:
            return self._arrived(ref, minute)
        number, log = self._next(ref)
        if log is not None and log.started is not None and minute < log.started:
            raise ShopdayError(
                f"{ref.address} was started {self._said(log.started)}, after {self._said(minute)}; give a later time"
            )
        return number, {}

    def _again(self, ref: StepRef, minute: int) -> tuple[int, dict[str, Any]]:
        if ref.step.absent:
            raise ShopdayError(f"{ref.address} needs no hands, so there is no further pass of it")
        if (ref.address, 1) not in self.state.passes:
            raise ShopdayError(
                f"{ref.address} was not started yet; another pass can follow once the first has begun"
            )
        return pass_count(ref, self.state) + 1, {}

    def _arrived(self, ref: StepRef, minute: int) -> tuple[int, dict[str, Any]]:
        if not ref.step.absent:
            raise ShopdayError(
                f"{ref.address} is work in the shop, not something that arrives; log its start or finish"
            )
        if ref.address in self.state.arrived:
            raise ShopdayError(f"{ref.address} arrived {self._said(self.state.arrived[ref.address])} already")
        number, _ = self._next(ref)
        return number, {}

    # ------------------------------------------------------------ looking things up

    def _ref(self, address: str) -> StepRef:
        ref = self.expansion.steps.get(address)
        if ref is None:
            near = nearest(address, self.expansion.steps)
            hint = f"did you mean {near}?" if near else "write it as JOB/PART/STEP, or JOB/STEP"
            raise ShopdayError(f"no step {address!r}; {hint}")
        status = self.folder.jobs[ref.job].status
        if status != "live":
            word = "a quote" if status == "quote" else "shelved"
            raise ShopdayError(f'{ref.job} is {word}; set its `status` to "live" before logging work on it')
        return ref

    def _next(self, ref: StepRef) -> tuple[int, PassState | None]:
        """The first pass that is not finished."""
        for number in range(1, pass_count(ref, self.state) + 1):
            log = self.state.passes.get((ref.address, number))
            if log is None or log.finished is None:
                return number, log
        hint = "" if ref.step.absent else "; log `again` if it needs another pass"
        raise ShopdayError(f"{ref.address} is done already{hint}")

    def _over(self, address: str) -> bool:
        ref = self.expansion.steps[address]
        if address in self.state.arrived:
            return True
        log = self.state.passes.get((address, pass_count(ref, self.state)))
        return log is not None and log.finished is not None

    def _people(self, ref: StepRef) -> tuple[str, ...]:
        """Who most likely does it: the first makers, then others, who have nothing else under way."""
        busy = {person for log in self.state.passes.values() if _open(log) for person in log.people}
        makers = [person.id for person in self.folder.shop.people if person.role == "maker"]
        lead = next((id for id in makers if id not in busy), makers[0] if makers else "")
        others = [person.id for person in self.folder.shop.people if person.id not in (lead, *busy)]
        return (lead, *others)[: ref.step.hands]

    def _said(self, minute: int) -> str:
        return when(self.zone.moment(minute), self.zone.moment(self.now))


def _filed_as(kind: str, ref: StepRef) -> str:
    """Deliveries arrive; what goes out several times comes back once for each."""
    if kind == "finish" and ref.step.arrives is not None:
        return "arrived"
    return "finish" if kind == "arrived" and ref.step.passes > 1 else kind


def _open(log: PassState) -> bool:
    return log.started is not None and log.finished is None
