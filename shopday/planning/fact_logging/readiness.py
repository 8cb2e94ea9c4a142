"""Whether a step may be started at a minute; if not, why, and from when it may."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from shopday.journal.state import Key
from shopday.planning.encoding.encoded_problem import EncodedProblem
from shopday.planning.encoding.finished_jobs import finished_passes
from shopday.planning.encoding.moisture_gates import gate_text
from shopday.planning.encoding.passes import Pass
from shopday.planning.plan import Moment, Plan
from shopday.planning.step_names import place
from shopday.scheduler import Lag
from shopday.shop.faults import ShopdayError
from shopday.shop.measures import worded
from shopday.text.times import moment_text


class Hindrance(NamedTuple):
    """One thing in the way, in words, and the minute at which it is gone (None: not known)."""

    why: str
    until: int | None


class NotReady(ShopdayError):
    """A step may not be started yet.

    label: the step with its pass.
    why:   the reasons in words.
    until: from when it may be started (None: not known).
    """

    def __init__(self, label: str, why: str, until: Moment | None, now: Moment) -> None:
        self.label, self.why, self.until = label, why, until
        later = f"; it may start from {moment_text(until, now)} on" if until is not None else ""
        super().__init__(f"{label} may not be started yet: {why}{later}")


def check_ready(built: EncodedProblem, plan: Plan | None, key: Key, minute: int) -> None:
    """Raise NotReady if what comes before a pass is not over at the minute, the shop is too cold or too hot for its
    material, or the wood has the wrong moisture. `plan` tells when unfinished steps will be over."""
    found = list(_Reader(built, plan, minute).hindrances(key))
    if not found:
        return
    ends = [hindrance.until for hindrance in found]
    known = [end for end in ends if end is not None]
    until = built.zone.moment(max(known)) if len(known) == len(ends) else None
    why = "; ".join(dict.fromkeys(hindrance.why for hindrance in found))
    raise NotReady(built.passes[built.index[key]].label, why, until, built.zone.moment(built.problem.now))


class _Reader:
    def __init__(self, built: EncodedProblem, plan: Plan | None, minute: int) -> None:
        self.built, self.plan, self.minute = built, plan, minute

    def hindrances(self, key: Key) -> Iterator[Hindrance]:
        i = self.built.index[key]
        p = self.built.passes[i]
        if i in self.built.reasons:
            yield Hindrance(self.built.reasons[i], None)
        for lag in self.built.problem.tasks[i].lags:
            before = self.built.passes[lag.task]
            hindrance = self._running(lag, before, p) if before.finished else self._unfinished(before, p)
            if hindrance is not None:
                yield hindrance
        yield from self._cold(p)
        yield from self._hot(p)
        if p.pass_no == 1:
            built = self.built
            readings = built.state.moisture.get(p.address, {})
            if why := gate_text(p.step, built.folder.shop, readings):
                yield Hindrance(why, None)

    def _running(self, lag: Lag, before: Pass, p: Pass) -> Hindrance | None:
        """The hindrance if the work before is done but its wait still runs; None if that is over too."""
        problem = self.built.problem
        placed = finished_passes(
            problem.tasks[lag.task], problem.clocks, problem.calendars[problem.release_calendar]
        )
        over = placed.moment(lag.milestone)
        if over <= self.minute:
            return None
        ends = zip(before.waits, placed.ends, strict=True)
        wait = next((w.name for w, end in ends if not w.informs and self.minute < end <= over), None)
        return Hindrance(f"{self._name(before, p)}: {wait or 'the work'} until {self._when(over)}", over)

    def _unfinished(self, before: Pass, p: Pass) -> Hindrance:
        step = before.step
        not_yet = "not here yet" if step.arrives else "not back yet" if step.away else "not finished"
        return Hindrance(f"{self._name(before, p)} is {not_yet}", self._planned(before, p))

    def _planned(self, before: Pass, p: Pass) -> int | None:
        """The minute at which the plan ends what the pass waits for; None if it does not say."""
        row = self.plan.step(*p.key) if self.plan is not None else None
        found = (awaited.over for awaited in row.awaits if awaited.key == before.key) if row else ()
        return next(map(self.built.zone.of, found), None)

    def _cold(self, p: Pass) -> Iterator[Hindrance]:
        warmth = self.built.warmth
        cold = warmth.too_cold(p.material, self.minute) if warmth is not None and p.material else None
        if cold is not None and p.material is not None:
            name = p.material.name or p.material.id
            yield self._of_air(f"{cold.celsius:.0f} C, and {name} needs {cold.lowest:.0f} C", cold.until)

    def _hot(self, p: Pass) -> Iterator[Hindrance]:
        warmth = self.built.warmth
        hot = warmth.too_hot(p.material, self.minute) if warmth is not None and p.material else None
        if hot is not None and p.material is not None:
            name = p.material.name or p.material.id
            yield self._of_air(
                f"{hot.celsius:.0f} C, and {name} is made for {hot.highest:.0f} C at most", hot.until
            )

    def _of_air(self, figures: str, until: int | None) -> Hindrance:
        return Hindrance(worded(f"the shop is at {figures}", self.built.folder.shop.units), until)

    def _name(self, before: Pass, p: Pass) -> str:
        here = (before.ref.job, before.ref.part) == (p.ref.job, p.ref.part)
        return before.label if here else f"{before.label} ({place(self.built.folder, before.ref)})"

    def _when(self, minute: int) -> str:
        zone = self.built.zone
        return moment_text(zone.moment(minute), zone.moment(self.built.problem.now))
