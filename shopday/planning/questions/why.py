"""Why a step is not earlier: the chain of reasons from it back to now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopday.planning.encoding.problem_encoder import EncodedProblem
from shopday.planning.plan import Moment, Plan, PlannedStep, State
from shopday.planning.plan_text import both, sentence, span, when
from shopday.planning.step_names import errand, full, things
from shopday.scheduler import COMPLETE, END, FOREVER, Crew, Lag, Task
from shopday.shop.faults import ShopdayError

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

LONGEST_CHAIN = 25


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a step starts no earlier, and the step to ask next (None: the chain ends here)."""

    text: str
    behind: PlannedStep | None = None


def why(workshop: OpenShop, plan: Plan, address: str, pass_no: int = 1) -> tuple[str, ...]:
    """Whole sentences, from the step back to now. Raises ShopdayError for a step that is not in the plan."""
    step = plan.step(address, pass_no)
    if step is None:
        return (_unplaced(plan, address),)
    asker, seen = _Asker(workshop, plan), set[tuple[str, int]]()
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
    def __init__(self, workshop: OpenShop, plan: Plan) -> None:
        self.folder, self.plan = workshop.folder, plan
        self.built: EncodedProblem = workshop.built(plan)
        self.minute = self.built.zone.of
        self.now = self.built.problem.now
        self.rows = {row.key: row for row in plan.steps}

    def reason(self, step: PlannedStep) -> Reason:
        said = full(self.folder, step)
        if step.put_down:
            goes_on = self._when(step.next_work(self.plan.now))
            return Reason(f"{said} was begun {self._when(step.start)} and put down; it goes on {goes_on}")
        if step.state is State.UNDER_WAY:
            return Reason(f"{said} is under way since {self._when(step.start)}, until {self._when(step.end)}")
        if step.state is not State.PLANNED:
            return Reason(self._settled(step, said))
        begins = f"{said} {'leaves' if step.kind == 'away' else 'starts'} {self._when(step.start)}"
        if step.kind == "arrives":
            return self._arrival(step)
        i = self.built.index[step.key]
        task, start = self.built.problem.tasks[i], self.minute(step.start)
        if task.at is not None:
            return Reason(f"{begins}, because it has an appointment then")
        return self._bound(step, task, start, begins)

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
        said = f"{errand(self.folder, step)} for {full(self.folder, step)}"
        return Reason(f"{said} is expected {self._when(step.end)}{', overdue' if step.overdue else ''}")

    # ------------------------------------------------------------ planned work

    def _bound(self, step: PlannedStep, task: Task, start: int, begins: str) -> Reason:
        """The last thing that stood in the way: what it waits for, the hours, what is taken."""
        ready, last = self._ready(task)
        crew = self._crew(step, task)
        opens = start if task.starts_immediately else self._opens(task, crew, ready)
        if start <= self.now:
            return Reason(f"{begins}, which is now")
        if opens < start:
            blocker = self._blocker(step, task, ready, start)
            if blocker is not None and self._opens(task, crew, blocker[0]) >= start:
                return Reason(f"{begins}, because {blocker[2]}", blocker[1])
            return self._held_back(step, begins)
        closed = "" if opens == ready else f"{self._nobody(step, task)} before {self._moment(opens)}"
        if last is not None and last[1] == ready:
            because = "; ".join(filter(None, (self._waits_for(*last), closed)))
            return Reason(f"{begins}, because {because}", self.rows.get(self._key(last[0])))
        if task.release == ready > self.now:
            return Reason(
                f"{begins}, because {self._title(step)} is not to begin before {self._moment(task.release)}"
            )
        return Reason(f"{begins}, because {closed or 'nothing keeps it'}")

    def _ready(self, task: Task) -> tuple[int, tuple[Lag, int] | None]:
        """The minute at which everything before it is over, and the last of it."""
        moments = [(self._of(lag), lag) for lag in task.lags]
        if not moments:
            return max(self.now, task.release), None
        minute, lag = max(moments, key=lambda pair: pair[0])
        return max(self.now, task.release, minute), (lag, minute)

    def _of(self, lag: Lag) -> int:
        row = self.rows.get(self._key(lag))
        if row is None:
            return FOREVER
        if lag.milestone == COMPLETE or not row.waits:
            return self.minute(row.complete)
        return self.minute(row.end if lag.milestone == END else row.waits[lag.milestone].end)

    def _key(self, lag: Lag) -> tuple[str, int]:
        return self.built.passes[lag.task].key

    def _waits_for(self, lag: Lag, minute: int) -> str:
        row = self.rows[self._key(lag)]
        said, until = full(self.folder, row), self._moment(minute)
        if row.kind == "away":
            return f"{said} is at {errand(self.folder, row)} until {until}"
        if row.kind == "arrives":
            return f"{errand(self.folder, row)} is here {until} at the earliest"
        waits = [w for w in row.waits if not w.informs and self.minute(w.end) <= minute and w.end > w.start]
        if lag.milestone != END and waits:
            return f"{waits[-1].name} of {said} lasts until {until}"
        return f"{said} takes until {until}"

    def _crew(self, step: PlannedStep, task: Task) -> Crew | None:
        crews = (c for c in task.crews if tuple(self.built.people[r] for r in c.people) == step.people)
        return next(crews, None)

    def _opens(self, task: Task, crew: Crew | None, minute: int) -> int:
        """The first minute from which the hours would let it start, with everything free."""
        if crew is None:
            return minute
        calendar, warm = self.built.problem.calendars[crew.calendar], task.starts_in
        need = max(1, task.stretch, task.work if task.unbroken else 0)
        for _ in range(10_000):
            opens = calendar.open_from(minute)
            if opens is not None and warm is not None:
                opens = self.built.problem.calendars[warm].open_from(opens)
            if opens is None:
                return FOREVER
            stretch = calendar.span_at(opens)
            if stretch is not None and stretch[1] - opens >= need:
                return opens
            minute = stretch[1] if stretch is not None else opens
        return FOREVER

    # ------------------------------------------------------------ what was taken

    def _blocker(
        self, step: PlannedStep, task: Task, ready: int, start: int
    ) -> tuple[int, PlannedStep, str] | None:
        """The last minute, up to the start, at which another step gives back something this one needs."""
        found = [
            (free, row, f"{what} until {self._moment(free)}")
            for row in self.plan.steps
            if row.key != step.key and row.kind == "work" and row.key in self.built.index
            for free, what in self._conflicts(step, task, row)
            if ready < free <= start
        ]
        return max(found, key=lambda entry: entry[0], default=None)

    def _conflicts(self, step: PlannedStep, task: Task, row: PlannedStep) -> list[tuple[int, str]]:
        """(minute from which it no longer stands in the way, what it has until then)."""
        said, end = full(self.folder, row), self.minute(row.end)
        out = []
        if shared := [person for person in step.people if person in row.people]:
            out.append((end, f"{self._people(shared)} busy with {said}"))
        mine = (*step.stations, *step.gear)
        if used := [id for id in (*row.stations, *row.gear) if id in mine]:
            out.append((end, f"{things(self.folder, used, row.gear)} {_be(used, row)} taken by {said}"))
        for wait in row.waits:
            if wait.free is not None and (kept := [id for id in wait.keeps if id in mine]):
                free = self.minute(wait.free)
                out.append(
                    (
                        free,
                        f"{things(self.folder, kept, row.gear)} {_be(kept, row)} kept by {said} ({wait.name})",
                    )
                )
        return out + self._air(task, row, said)

    def _air(self, task: Task, row: PlannedStep, said: str) -> list[tuple[int, str]]:
        i = self.built.index[row.key]
        other = self.built.problem.tasks[i]
        if other.room != task.room:
            return []
        if task.needs_still_air and other.dusty:
            return [(self.minute(row.end) + self.built.problem.dust_minutes, f"the dust of {said} settles")]
        if not task.dusty:
            return []
        still = [(self.minute(w.end), w.name) for w in row.waits if w.still_air and not w.informs]
        out = [(end, f"{said} wants still air ({name})") for end, name in still]
        return [*out, (self.minute(row.end), f"{said} wants still air")] if other.needs_still_air else out

    def _held_back(self, step: PlannedStep, begins: str) -> Reason:
        """Nothing was taken when it could have started: the order of the plan, or a window after it."""
        mine = self.built.index[step.key]
        for i, task in enumerate(self.built.problem.tasks):
            for window in task.windows:
                row = self.rows.get(self.built.passes[i].key)
                if row is not None and any(ref.task == mine for ref in window.refs):
                    return Reason(
                        f"{begins} and no sooner, so that {full(self.folder, row)} can follow within {span(window.within)}"
                    )
        return Reason(f"{begins}; it could start sooner, and the plan does other work first", None)

    # ------------------------------------------------------------ words

    def _nobody(self, step: PlannedStep, task: Task) -> str:
        if task.starts_in is not None:
            return "the shop is too cold for it or nobody is in"
        if task.unbroken:
            return f"there is no unbroken stretch of {span(task.work)}"
        return f"{self._people(step.people)} not {'both ' if len(step.people) == 2 else ''}in"

    def _people(self, ids: Sequence[str]) -> str:
        """Who, with the verb; the only one in the shop is the one who reads this."""
        if len(self.folder.shop.people) == 1:
            return "you are"
        names = {person.id: person.name or person.id for person in self.folder.shop.people}
        return f"{both(names.get(id, id) for id in ids)} {'is' if len(ids) == 1 else 'are'}"

    def _title(self, step: PlannedStep) -> str:
        return self.folder.jobs[step.job].title or step.job

    def _when(self, moment: Moment) -> str:
        return when(moment, self.plan.now)

    def _moment(self, minute: int) -> str:
        return self._when(self.built.zone.moment(minute))


def _be(ids: list[str], row: PlannedStep) -> str:
    return "is" if len(ids) == 1 and row.gear.get(ids[0], 1) == 1 else "are"
