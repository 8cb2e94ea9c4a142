"""The precedence graph of all steps: fills in defaults, resolves addresses, finds circles.

An address is JOB/PART/STEP, or JOB/STEP for a step of the whole job. In `after`, one name is a step of the same part
(else of the whole job); two names are a part of the same job, or else a whole-job step of another job.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from graphlib import CycleError, TopologicalSorter
from typing import Literal, NamedTuple

from shopday.shop.faults import suggest
from shopday.shop.folder import ShopFolder
from shopday.shop.models import After, Job, Material, Step, Wait

HANDS_OFF = "hands-off"
_MOST_CIRCLES = 20
_MOST_HINTS = 50
"""Searching for near names takes time, and nobody reads more."""


@dataclass(frozen=True, slots=True)
class StepRef:
    """One step and where it is.

    part:   None for a step of the whole job.
    path:   leads to it in its file.
    recipe: the one that its part was made from, if any.
    """

    job: str
    part: str | None
    step: Step
    path: tuple[str | int, ...]
    recipe: str | None = None
    address: str = field(init=False)

    def __post_init__(self) -> None:
        address = "/".join(name for name in (self.job, self.part, self.step.id) if name is not None)
        object.__setattr__(self, "address", address)


class Predecessor(NamedTuple):
    """One thing waited for. when: a wait's name, "hands-off", or None for complete; within: minutes."""

    address: str
    when: str | None = None
    within: int | None = None


class StepProblem(NamedTuple):
    """Something wrong with an `after`: whose it is, where in its file, and what.

    kind:   "unknown" (no such step), "when" (it has no such wait) or "circle".
    target: what it comes after, as written.
    found:  the address of that, "" if there is none.
    """

    kind: Literal["unknown", "when", "circle"]
    address: str
    job: str
    path: tuple[str | int, ...]
    wrong: str
    right: str
    target: str
    found: str = ""


class StepGraph(NamedTuple):
    """All steps by address, jobs in their order and steps as written; and what each waits for.

    order:    the same addresses, each after what it waits for (empty if there are circles).
    problems: in a folder as read, only those of steps that come after a job whose file has faults.
    """

    steps: dict[str, StepRef]
    before: dict[str, tuple[Predecessor, ...]]
    order: tuple[str, ...]
    problems: tuple[StepProblem, ...] = ()


def waits_of(step: Step, materials: dict[str, Material]) -> tuple[Wait, ...]:
    """The step's own waits, else its material's."""
    if step.waits is not None:
        return step.waits
    material = materials.get(step.material or "")
    return material.waits if material else ()


def expand(folder: ShopFolder) -> StepGraph:
    """The graph of every job of the folder, whatever its status."""
    return _Expander(folder).expansion()


def refs(job_id: str, job: Job) -> Iterator[StepRef]:
    """The steps of a job as written: those of its parts, then those of the whole job."""
    for i, part in enumerate(job.parts):
        for j, step in enumerate(part.steps):
            yield StepRef(job_id, part.id, step, ("parts", i, "steps", j), part.recipe)
    for j, step in enumerate(job.steps):
        yield StepRef(job_id, None, step, ("steps", j))


@dataclass
class _Expander:
    folder: ShopFolder
    steps: dict[str, StepRef] = field(default_factory=dict)
    problems: list[StepProblem] = field(default_factory=list)

    def expansion(self) -> StepGraph:
        for job_id, job in self.folder.jobs.items():
            for ref in refs(job_id, job):
                self.steps.setdefault(ref.address, ref)
        before: dict[str, tuple[Predecessor, ...]] = {}
        for job_id, job in self.folder.jobs.items():
            before |= self._of_job(job_id, job)
        circles, order = _circles(self.steps, before)
        return StepGraph(self.steps, before, order, (*self.problems, *circles))

    def _of_job(self, job_id: str, job: Job) -> dict[str, tuple[Predecessor, ...]]:
        before: dict[str, tuple[Predecessor, ...]] = {}
        last: dict[str | None, str] = {}
        for ref in refs(job_id, job):
            if self.steps[ref.address].path != ref.path:
                continue
            if ref.step.after is not None:
                before[ref.address] = tuple(self._written(ref, ref.step.after))
            elif ref.part in last:
                before[ref.address] = (Predecessor(last[ref.part]),)
            elif ref.part is None:
                before[ref.address] = tuple(Predecessor(address) for address in last.values())
            else:
                before[ref.address] = ()
            last[ref.part] = ref.address
        return before

    def _written(self, ref: StepRef, entries: tuple[After, ...]) -> Iterator[Predecessor]:
        for index, after in enumerate(entries):
            target = self._resolve(ref, after.step)
            if target is None:
                self._unknown(ref, index, after.step)
                continue
            if self._has_moment(ref, index, after, target):
                yield Predecessor(target, after.when, after.within)

    def _resolve(self, ref: StepRef, text: str) -> str | None:
        return next((address for address in _readings(ref, text) if address in self.steps), None)

    def _unknown(self, ref: StepRef, index: int, text: str) -> None:
        right = self._hint(ref, text) if len(self.problems) < _MOST_HINTS else "name a step that is there"
        path = (*ref.path, "after", index)
        wrong = f"no step `{text}` to come after"
        self.problems.append(StepProblem("unknown", ref.address, ref.job, path, wrong, right, text))

    def _hint(self, ref: StepRef, text: str) -> str:
        inside = [s.step.id for s in self.steps.values() if (s.job, s.part) == (ref.job, text)]
        if inside:
            return f"that is a part; name a step of it, such as `{text}/{inside[-1]}`"
        known = _nearby(ref, text, self.steps)
        return suggest(text, known, "write STEP, PART/STEP or JOB/PART/STEP")

    def _has_moment(self, ref: StepRef, index: int, after: After, target: str) -> bool:
        names = [wait.name for wait in waits_of(self.steps[target].step, self.folder.materials)]
        if after.when is None or after.when == HANDS_OFF or after.when in names:
            return True
        wrong = f"`{after.step}` has no wait `{after.when}`"
        right = suggest(after.when, [*names, HANDS_OFF])
        path = (*ref.path, "after", index, "when")
        problem = StepProblem("when", ref.address, ref.job, path, wrong, right, after.step, target)
        self.problems.append(problem)
        return False


def _readings(ref: StepRef, text: str) -> Iterator[str]:
    """The full addresses that a written one may mean, the likeliest first."""
    names = text.count("/") + 1
    if names == 1 and ref.part is not None:
        yield f"{ref.job}/{ref.part}/{text}"
    if names <= 2:
        yield f"{ref.job}/{text}"
    if names >= 2:
        yield text


def _nearby(ref: StepRef, text: str, steps: dict[str, StepRef]) -> Iterator[str]:
    """Every step as it would be written here: short within the part and the job, in full elsewhere."""
    for address, other in steps.items():
        if address == ref.address:
            continue
        same_job = other.job == ref.job
        if same_job and other.part in (ref.part, None):
            yield other.step.id
        elif same_job:
            yield f"{other.part}/{other.step.id}"
        elif text.count("/") > 0:
            yield address


def _circles(
    steps: dict[str, StepRef], before: dict[str, tuple[Predecessor, ...]]
) -> tuple[list[StepProblem], tuple[str, ...]]:
    """Each circle as a problem of the step that closes it, and the order if there is none."""
    graph = {address: {p.address for p in predecessors} for address, predecessors in before.items()}
    found: list[StepProblem] = []
    while len(found) < _MOST_CIRCLES:
        try:
            order = _order(graph)
        except CycleError as error:
            circle = list(reversed(error.args[1][1:]))
            closing = _turned(circle, list(steps))
            found.append(_circle(closing, steps, before))
            graph[closing[0]].discard(closing[1 % len(closing)])
        else:
            return found, () if found else order
    return found, ()


def _order(graph: dict[str, set[str]]) -> tuple[str, ...]:
    rank = {address: i for i, address in enumerate(graph)}
    sorter = TopologicalSorter(graph)
    sorter.prepare()
    order: list[str] = []
    while sorter.is_active():
        ready = sorted(sorter.get_ready(), key=rank.__getitem__)
        sorter.done(*ready)
        order += ready
    return tuple(order)


def _turned(circle: list[str], written: list[str]) -> list[str]:
    """The circle, each step waiting for the next and the last for the first, rotated to start where the written
    order is broken."""
    rank = {address: i for i, address in enumerate(written)}
    following = [*circle[1:], circle[0]]
    start = next(i for i, (a, b) in enumerate(zip(circle, following, strict=True)) if rank[b] >= rank[a])
    return circle[start:] + circle[:start]


def _circle(
    circle: list[str], steps: dict[str, StepRef], before: dict[str, tuple[Predecessor, ...]]
) -> StepProblem:
    first, second = circle[0], circle[1 % len(circle)]
    ref = steps[first]
    index = [p.address for p in before[first]].index(second)
    shown = circle if len(circle) <= 8 else [*circle[:4], "...", *circle[-3:]]
    wrong = f"{first} waits for itself: {' -> '.join([*shown, first])}"
    return StepProblem(
        "circle", first, ref.job, (*ref.path, "after", index), wrong, "take one `after` out", second, second
    )
