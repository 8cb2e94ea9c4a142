"""How one job stands, as a message to its customer: plain words, and nothing about other jobs or the time in hand.

It gives the promised day if the plan keeps it, otherwise the day that holds with 80 %.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import TYPE_CHECKING

from shopday.planning.plan import Moment, Plan, PlannedStep, PlannedWait, State, elapsed, later
from shopday.planning.step_names import written
from shopday.shop.faults import ShopdayError, suggest
from shopday.shop.materials.material_book import FULL_CURE
from shopday.shop.note_template import fill_note
from shopday.text.names import in_sentence
from shopday.text.safe import clean, clean_lines
from shopday.text.sentences import both
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

OVER = {
    "delivered": "Your order was delivered.",
    "cancelled": "Your order was cancelled; no more work is done on it.",
}
"""What is said of a job that is over, by its status."""


def customer_note(open_shop: OpenShop, plan: Plan, job_id: str, safe: Moment | None = None) -> str:
    """The note. safe: the date that holds with 80 %, if `wants_odds` says that it is needed. Raises ShopdayError if
    there is no such job, or it is not planned."""
    jobs = open_shop.folder.jobs
    open_shop.folder.require_read(job_id)
    if job_id not in jobs:
        raise ShopdayError(f"there is no job {job_id!r}", suggest(job_id, jobs, "a job is a file in jobs/"))
    status = jobs[job_id].status
    if plan.job(job_id) is None and status not in OVER:
        raise ShopdayError(f'{job_id} is not planned: its `status` is "{status}"')
    note = _Note(open_shop, plan, job_id, safe)
    texts = note.greeting() | ({"ready": OVER[status]} if status in OVER else note.story())
    return clean_lines(fill_note(open_shop.folder.shop.note, texts).splitlines())


def wants_odds(plan: Plan, job_id: str) -> bool:
    """True if the plan keeps no promise for the job, so that the note has to give another day."""
    row = plan.job(job_id)
    return row is not None and not row.delivered and (row.promise is None or bool(row.late_minutes))


class _Note:
    def __init__(self, open_shop: OpenShop, plan: Plan, job_id: str, safe: Moment | None) -> None:
        self.open_shop, self.plan, self.safe = open_shop, plan, safe
        self.job, self.row = open_shop.folder.jobs[job_id], plan.job(job_id)
        self.title = self.job.title or job_id
        self.steps = [step for step in plan.steps if step.job == job_id]
        self.today = plan.now.date()

    def greeting(self) -> dict[str, str]:
        name = clean(self.job.customer)
        shop = clean(self.open_shop.folder.shop.name)
        title = in_sentence(clean(self.title))
        return {
            "hello": f"Dear {name}," if name else "Hello,",
            "customer": name,
            "piece": title,
            "shop": shop,
        }

    def story(self) -> dict[str, str]:
        told = {"done": self._done(), "next": self._next(), "ready": self._ready(), "care": self._care()}
        return {name: clean(said) for name, said in told.items()}

    def _done(self) -> str:
        """How far the work has come, by the pieces that a customer knows."""
        work = [step for step in self.steps if step.kind == "work" and not step.skipped]
        begun = [step for step in work if step.state is not State.PLANNED]
        if not begun:
            return "We have not begun yet."
        if len(begun) == len(work):
            return "All of it is made."
        parts = {part.id: in_sentence(part.label) for part in self.job.parts}
        open_ = {step.part for step in work if step.state in (State.PLANNED, State.UNDER_WAY)}
        made = [name for id, name in parts.items() if id not in open_ and any(s.part == id for s in work)]
        going = [name for id, name in parts.items() if id in open_ and any(s.part == id for s in begun)]
        found = [f"Made so far: the {both(made)}."] if made else []
        found += [f"Under way: the {both(going)}."] if going else []
        return " ".join(found) or "We have begun."

    def _next(self) -> str:
        if (resting := self._resting()) is not None:
            return resting
        in_hand = [step for step in self.steps if step.in_hand]
        if in_hand:
            return f"Being worked on now: {both(in_sentence(step.name) for step in in_hand)}."
        if put_down := [in_sentence(step.name) for step in self.steps if step.put_down]:
            return f"Begun, and put down for now: {both(put_down)}."
        ahead = [step for step in self.steps if step.kind == "work" and step.waits_for_hands]
        first = min(ahead, key=lambda step: step.next_work(self.plan.now), default=None)
        return "" if first is None else f"Next: {in_sentence(first.name)}."

    def _resting(self) -> str | None:
        """What the whole job waits for, if nobody has it in hand; else None."""
        if any(step.in_hand for step in self.steps):
            return None
        waiting = [step for step in self.steps if step.state is State.WAITING]
        for step in waiting:
            if step.kind == "away":
                return f"{step.name}: back on {self._day(step.end.date())}."
            if step.kind == "arrives":
                return f"{step.name}: expected on {self._day(step.end.date())}."
            for wait in step.waits:
                if not wait.informs and self._runs(wait):
                    return f"Resting now ({wait.name}), until {self._day(wait.end.date())}."
        return None

    def _runs(self, wait: PlannedWait) -> bool:
        return elapsed(wait.start, self.plan.now) >= 0 and elapsed(self.plan.now, wait.end) > 0

    def _ready(self) -> str:
        row, day = self.row, self._ready_day()
        if row is None or row.delivery is None or day is None:
            return "We cannot name the day yet on which your order will be ready."
        if row.delivered:
            return f"Your order was delivered on {self._day(day)}."
        if row.promise is None:
            return f"Your order should be ready by {self._day(day)}."
        if not row.late_minutes:
            return f"Your order will be ready by {self._day(day)}, as promised."
        broken = self._day(row.promise)
        return (
            f"We are sorry: your order will not be ready on {broken} as promised. "
            f"It should be ready by {self._day(day)}."
        )

    def _ready_day(self) -> dt.date | None:
        """The day that the customer is told, or on which it was delivered."""
        row = self.row
        if row is None or row.delivery is None or row.delivered:
            return None if row is None or row.delivery is None else row.delivery.date()
        if row.promise is not None and not row.late_minutes:
            return row.promise
        ready = row.delivery.date() if self.safe is None else max(self.safe.date(), row.delivery.date())
        return ready if row.promise is None else max(ready, row.promise + dt.timedelta(days=1))

    def _care(self) -> str:
        """Until when to treat it gently: the longest time told by the steps and by the material book, if it ends
        after the day on which the customer has it."""
        told = [(end, name) for step in self.steps for end, name in self._cures(step)]
        day = self._ready_day()
        if not told or (day is not None and max(told)[0].date() <= day):
            return ""
        end, name = max(told)
        why = "it is fully cured then" if name == FULL_CURE else name
        return f"Please treat it gently until {self._day(end.date())}: {why}."

    def _cures(self, step: PlannedStep) -> Iterator[tuple[Moment, str]]:
        ready = self.row.delivery if self.row is not None and self.row.delivery is not None else self.plan.now
        yield from ((wait.end, wait.name) for wait in step.waits if wait.informs and wait.end > ready)
        folder = self.open_shop.folder
        material = folder.materials.get(written(folder, step).material or "")
        if material is None or material.full_cure is None or material.kind != "finish":
            return
        until = later(step.end, material.full_cure)
        if until > ready and not any(wait.informs for wait in step.waits):
            name = material.name or material.id
            yield (
                until,
                f"then the {in_sentence(name)} is fully cured; no water on it before, and nothing left standing on it",
            )

    def _day(self, date: dt.date) -> str:
        return date_text(date, self.today)
