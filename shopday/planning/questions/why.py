"""Why a step does not start earlier: the chain of reasons back to now."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopday.planning.plan import Awaited, Moment, Plan, PlannedStep, StartLimits, State
from shopday.planning.questions.conflicts import Conflicts, people_are
from shopday.planning.step_names import errand
from shopday.shop.faults import ShopdayError
from shopday.text.durations import length_text
from shopday.text.sentences import sentence
from shopday.text.times import moment_text

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

LONGEST_CHAIN = 25


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a step starts no earlier. behind: the step to ask about next (None: the chain ends here)."""

    text: str
    behind: PlannedStep | None = None


def why(open_shop: OpenShop, plan: Plan, address: str, pass_no: int = 1) -> tuple[str, ...]:
    """The chain in whole sentences. Raises ShopdayError if the step is not in the plan."""
    step = plan.step(address, pass_no)
    if step is None:
        return (_unplaced(plan, address),)
    asker, seen = _Asker(open_shop, plan), set[tuple[str, int]]()
    chain: list[str] = []
    while step is not None and step.key not in seen and len(chain) < LONGEST_CHAIN:
        seen.add(step.key)
        reason = asker.reason(step)
        chain.append(sentence(reason.text))
        step = reason.behind
    return tuple(chain)


def _unplaced(plan: Plan, address: str) -> str:
    for row in plan.unplaced:
        if row.address == address:
            return f"{address} cannot be planned: {row.why}"
    raise ShopdayError(f"{address} is not in the plan")


class _Asker:
    def __init__(self, open_shop: OpenShop, plan: Plan) -> None:
        self.folder, self.plan = open_shop.folder, plan
        self.conflicts = Conflicts(open_shop.folder, plan.steps)
        self.rows = {row.key: row for row in plan.steps}

    def reason(self, step: PlannedStep) -> Reason:
        said = step.full
        if step.put_down:
            goes_on = self._when(step.next_work(self.plan.now))
            return Reason(f"{said} was begun {self._when(step.start)} and put down; it goes on {goes_on}")
        if step.state is State.UNDER_WAY:
            return Reason(f"{said} is under way since {self._when(step.start)}, until {self._when(step.end)}")
        if step.state is not State.PLANNED or step.limits is None:
            return Reason(self._settled(step, said))
        begins = f"{said} {'leaves' if step.kind == 'away' else 'starts'} {self._when(step.start)}"
        if step.kind == "arrives":
            return self._arrival(step)
        if step.limits.appointment:
            return Reason(f"{begins}, because it has an appointment then")
        return self._bound(step, step.limits, begins)

    def _settled(self, step: PlannedStep, said: str) -> str:
        if step.kind == "arrives" and step.state is State.WAITING:
            return f"{errand(self.folder, step)} for {said} is expected {self._when(step.end)}"
        if step.kind == "away" and step.state is State.WAITING:
            return f"{said} is out at {errand(self.folder, step)} until {self._when(step.end)}"
        if step.state is State.WAITING:
            wait = next((w for w in step.waits if not w.informs and w.end > self.plan.now), None)
            name = wait.name if wait is not None else "what follows it"
            return f"{said} is done, and {name} lasts until {self._when(step.complete)}"
        return f"{said} is done since {self._when(step.end)}"

    def _arrival(self, step: PlannedStep) -> Reason:
        said = f"{errand(self.folder, step)} for {step.full}"
        return Reason(f"{said} is expected {self._when(step.end)}{', overdue' if step.overdue else ''}")

    # ------------------------------------------------------------ planned work

    def _bound(self, step: PlannedStep, limits: StartLimits, begins: str) -> Reason:
        """The last thing that kept the step: what it waits for, the hours, or what was taken."""
        if step.start <= self.plan.now:
            return Reason(f"{begins}, which is now")
        if limits.passed_up is not None:
            blocker = self._blocker(step, limits.ready)
            if blocker is not None and blocker[0] > limits.passed_up:
                return Reason(f"{begins}, because {blocker[2]}", blocker[1])
            return self._held_back(step, begins)
        on_time = step.kind == "away" or step.start == limits.ready
        closed = "" if on_time else f"{self._nobody(step, limits)} before {self._when(step.start)}"
        last = max(limits.awaits, key=lambda awaited: awaited.over, default=None)
        if last is not None and last.over == limits.ready:
            because = "; ".join(filter(None, (self._waits_for(last), closed)))
            return Reason(f"{begins}, because {because}", self.rows.get(last.key))
        if limits.not_before == limits.ready > self.plan.now:
            return Reason(
                f"{begins}, because {self._title(step)} is not to begin before {self._when(limits.not_before)}"
            )
        return Reason(f"{begins}, because {closed or 'nothing keeps it'}")

    def _waits_for(self, awaited: Awaited) -> str:
        row = self.rows[awaited.key]
        said, until = row.full, self._when(awaited.over)
        if row.kind == "away":
            return f"{said} is at {errand(self.folder, row)} until {until}"
        if row.kind == "arrives":
            return f"{errand(self.folder, row)} is here {until} at the earliest"
        waits = [w for w in row.waits if not w.informs and w.start < w.end <= awaited.over]
        if waits:
            return f"{waits[-1].name} of {said} lasts until {until}"
        return f"{said} takes until {until}"

    # ------------------------------------------------------------ what was taken

    def _blocker(self, step: PlannedStep, ready: Moment) -> tuple[Moment, PlannedStep, str] | None:
        """The conflict that ends last before the start, as (when, row, in words); None if there is none."""
        found = [
            (conflict.free, conflict.row, f"{conflict.said} until {self._when(conflict.free)}")
            for conflict in self.conflicts.of(step)
            if ready < conflict.free <= step.start
        ]
        return max(found, key=lambda entry: entry[0], default=None)

    def _held_back(self, step: PlannedStep, begins: str) -> Reason:
        """Nothing kept the step when it could have started: the plan put other work first, or a window after it
        decides."""
        for row in self.plan.steps:
            for awaited in row.awaits:
                if awaited.key == step.key and awaited.within is not None:
                    follows = f"{row.full} can follow within {length_text(awaited.within)}"
                    return Reason(f"{begins} and no sooner, so that {follows}")
        return Reason(f"{begins}; it could start sooner, and the plan does other work first")

    # ------------------------------------------------------------ words

    def _nobody(self, step: PlannedStep, limits: StartLimits) -> str:
        if limits.cold:
            return "the shop is too cold for it or nobody is in"
        if limits.unbroken:
            return f"there is no unbroken stretch of {length_text(limits.stretch)}"
        return f"{people_are(self.folder, step.people)} not {'both ' if len(step.people) == 2 else ''}in"

    def _title(self, step: PlannedStep) -> str:
        return self.folder.jobs[step.job].title or step.job

    def _when(self, moment: Moment) -> str:
        return moment_text(moment, self.plan.now)
