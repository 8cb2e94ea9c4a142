"""How one job stands, for its customer: plain words to paste into a message, and nothing about other jobs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import TYPE_CHECKING

from shopday.planning.plan import Moment, Plan, PlannedStep, PlannedWait, State, elapsed, later
from shopday.planning.step_names import written
from shopday.shop.faults import ShopdayError, suggest
from shopday.shop.models import Job
from shopday.text.durations import length_text
from shopday.text.safe import clean
from shopday.text.sentences import both, sentence
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop


OVER = {"delivered": "Delivered.", "cancelled": "Cancelled: nothing more is done on it."}
"""All there is to say of a job that is over, by its status."""


def customer_note(open_shop: OpenShop, plan: Plan, job_id: str, safe: Moment | None = None) -> str:
    """`safe`: the date that holds with 80 %, which is the one told. Raises ShopdayError where there is no such job,
    or it is not planned."""
    jobs = open_shop.folder.jobs
    open_shop.folder.require_read(job_id)
    if job_id not in jobs:
        raise ShopdayError(f"there is no job {job_id!r}", suggest(job_id, jobs, "a job is a file in jobs/"))
    if (over := OVER.get(jobs[job_id].status)) is not None:
        return "\n".join((_head(jobs[job_id].title or job_id, plan.now.date()), "", over))
    if plan.job(job_id) is None:
        raise ShopdayError(f'{job_id} is not planned: its `status` is "{jobs[job_id].status}"')
    return "\n".join(map(clean, _Note(open_shop, plan, job_id, safe).lines()))


def _head(title: str, today: dt.date) -> str:
    return clean(f"{title}, {date_text(today, today)}")


class _Note:
    def __init__(self, open_shop: OpenShop, plan: Plan, job_id: str, safe: Moment | None) -> None:
        self.open_shop, self.plan, self.id = open_shop, plan, job_id
        self.job: Job = open_shop.folder.jobs[job_id]
        self.steps = [step for step in plan.steps if step.job == job_id]
        self.today = plan.now.date()
        self.safe = safe

    def lines(self) -> Iterator[str]:
        yield _head(self.job.title or self.id, self.today)
        yield ""
        yield from self._done()
        yield from self._now()
        yield self._delivery()
        care = list(self._care())
        if care:
            yield ""
            yield from care

    def _done(self) -> Iterator[str]:
        """Names of the steps of which no pass is left to do."""
        open_ = {s.address for s in self.steps if s.state in (State.PLANNED, State.UNDER_WAY)}
        done = [
            step.name
            for step in self.steps
            if step.kind == "work" and step.address not in open_ and not step.skipped
        ]
        yield f"Done so far: {both(dict.fromkeys(done))}." if done else "No step is finished yet."

    def _now(self) -> Iterator[str]:
        for step in self.steps:
            if step.put_down:
                yield f"Begun, and put down for now: {step.name}."
            elif step.state is State.UNDER_WAY:
                yield f"In hand now: {step.name}."
            running = [w for w in step.waits if not w.informs and self._runs(w)]
            if step.state is State.WAITING and running:
                yield f"{step.name}: {running[0].name}, until {self._day(running[0].end.date())}."
            elif step.state is State.WAITING and step.kind == "away":
                yield f"{step.name}: away, back {self._day(step.end.date())}."
            elif step.state is State.WAITING and step.kind == "arrives":
                yield f"{step.name}: expected {self._day(step.end.date())}."

    def _runs(self, wait: PlannedWait) -> bool:
        return elapsed(wait.start, self.plan.now) >= 0 and elapsed(self.plan.now, wait.end) > 0

    def _delivery(self) -> str:
        row = self.plan.job(self.id)
        if row is None or row.delivery is None:
            return "The day of delivery is still open."
        if row.delivered:
            return f"Delivered {self._day(row.delivery.date())}."
        ready = row.delivery.date() if self.safe is None else max(self.safe.date(), row.delivery.date())
        said = f"It should be ready by {self._day(ready)}"
        if row.promise is None:
            return f"{said}."
        kept = "as promised for" if ready <= row.promise else "later than promised for"
        return f"{said}, {kept} {self._day(row.promise)}."

    def _care(self) -> Iterator[str]:
        """Full cure at home: what the steps tell (the longest of a name), and what the book says."""
        row = self.plan.job(self.id)
        ready = row.delivery if row is not None and row.delivery is not None else self.plan.now
        told: dict[str, Moment] = {}
        for step in {step.address: step for step in self.steps}.values():
            informs = [wait for wait in step.waits if wait.informs and wait.end > ready]
            told |= {w.name: w.end for w in informs if w.name not in told or w.end > told[w.name]}
            if not informs and (line := self._cure(step)):
                yield line
        for name, end in told.items():
            yield f"Please treat it gently until {self._day(end.date())}: {name}."

    def _cure(self, step: PlannedStep) -> str | None:
        material = self.open_shop.folder.materials.get(written(self.open_shop.folder, step).material or "")
        if material is None or material.full_cure is None or material.kind != "finish":
            return None
        until = later(step.end, material.full_cure)
        if elapsed(self.plan.now, until) <= 0:
            return None
        name = material.name or material.id
        return sentence(
            f"{name} is fully cured {self._day(until.date())} ({length_text(material.full_cure)} after the last coat); "
            "until then no water on it, and nothing left standing on it"
        )

    def _day(self, date: dt.date) -> str:
        return date_text(date, self.today)
