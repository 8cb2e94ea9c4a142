"""What the journal teaches: actual against estimated work by kind of step, and cures and passes by material.

Lessons change neither plans nor files: they are told, and the owner decides.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Literal

from shopday.journal.state import ShopState
from shopday.planning.encoding.actual_times import actual_minutes, hours_so_far
from shopday.planning.encoding.missed_windows import over_at, with_missed
from shopday.planning.encoding.open_hours import OpenHours
from shopday.planning.encoding.passes import Pass, passes_of
from shopday.planning.encoding.shop_temperature import Reading, warmth
from shopday.planning.lessons.cure_times import cured
from shopday.planning.step_names import of_job
from shopday.shop.folder import ShopFolder
from shopday.shop.step_graph import StepRef, expand
from shopday.text.durations import length_text

History = Mapping[str, Sequence[float]]
"""By kind of step: actual over estimated hands-on time of each case."""

Of = Literal["work", "cure", "passes"]


@dataclass(frozen=True, slots=True)
class LessonCase:
    """One estimate and what happened: minutes of work or cure, or a number of passes.

    name:  what people call the step or the material.
    rated: the minutes are at the material's rated temperature.
    """

    of: Of
    kind: str
    name: str
    address: str
    pass_no: int
    estimate: int
    actual: int
    rated: bool = False

    @property
    def factor(self) -> float:
        return self.actual / self.estimate


@dataclass(frozen=True, slots=True)
class Lesson:
    """All cases of a kind of step (work) or of a material (cure, passes).

    factor:      the sum of what happened over the sum of the estimates.
    least, most: the factors of single cases.
    """

    of: Of
    kind: str
    cases: tuple[LessonCase, ...]
    factor: float
    least: float
    most: float

    @property
    def name(self) -> str:
        """What people call it, taken from the last case."""
        return self.cases[-1].name

    @property
    def text(self) -> str:
        """The lesson in a sentence."""
        many = "once" if len(self.cases) == 1 else f"{len(self.cases)} times"
        estimate, actual = (sum(getattr(case, of) for case in self.cases) for of in ("estimate", "actual"))
        if self.of == "passes":
            return f"{self.name}: {actual} passes where {estimate} were foreseen, seen {many}."
        what = "work" if self.of == "work" else "cure"
        said = f"{self.name}: {length_text(actual)} of {what} where {length_text(estimate)} was foreseen, seen {many}"
        if any(case.rated for case in self.cases):
            said += " and reckoned to the temperature of the label"
        return f"{said}; reckon with {self.factor:.2f} times the estimate."


def learned_lessons(folder: ShopFolder, state: ShopState, now: int) -> tuple[Lesson, ...]:
    """Every lesson of the journal, by subject, then by falling number of cases."""
    cases: dict[tuple[Of, str], list[LessonCase]] = defaultdict(list)
    for case in _cases(folder, state, now):
        cases[case.of, case.kind].append(case)
    lessons = [_lesson(of, kind, found) for (of, kind), found in cases.items()]
    order: list[Of] = ["work", "cure", "passes"]
    return tuple(sorted(lessons, key=lambda x: (order.index(x.of), -len(x.cases), x.kind)))


def history(folder: ShopFolder, state: ShopState, now: int) -> History:
    """By kind of step: the factor of each case of hands-on work."""
    lessons = learned_lessons(folder, state, now)
    return {x.kind: tuple(case.factor for case in x.cases) for x in lessons if x.of == "work"}


def kind_of(ref: StepRef) -> str:
    """The kind of a step. Steps of one kind share a history: the same step in parts from one recipe, whichever of its
    repetitions or shares, else in parts with the same id; a step of the whole job by its id alone."""
    part = ref.recipe or ref.part
    id = _REPEATED.sub("", ref.step.id) if ref.recipe else ref.step.id
    return id if part is None else f"{part}/{id}"


_REPEATED = re.compile(r"(?:-(?:share-)?\d+)+$")
"""What a recipe adds to the id of a step that it makes several of: "top-2", "top-2-share-1"."""


def _lesson(of: Of, kind: str, cases: list[LessonCase]) -> Lesson:
    factors = [case.factor for case in cases]
    whole = sum(case.actual for case in cases) / sum(case.estimate for case in cases)
    return Lesson(of, kind, tuple(cases), whole, min(factors), max(factors))


def _cases(folder: ShopFolder, state: ShopState, now: int) -> Iterator[LessonCase]:
    """The cases of every job in the folder, whatever its status."""
    every = folder.all_live()
    expansion = expand(every)
    passes = passes_of(every, expansion, state)
    hours = hours_so_far(folder.shop, passes, now)
    opened = hours.calendars[hours.open]
    readings = [Reading(minute, celsius) for minute, celsius in state.readings]
    warm = warmth(folder.shop.temperature, hours.daytime, readings)

    def over(p: Pass, when: str | None) -> int:
        return over_at(p, when, None if warm is None else warm.clock(p.material))

    passes = with_missed(passes, expansion.before, over, lambda p: p.log.started if p.log else None)
    yield from _work(folder, passes, hours)
    for cure in cured(passes, expansion, warm, opened):
        p, of, known = cure.after, cure.material, warm is not None
        yield LessonCase("cure", of.id, of.name or of.id, p.address, p.pass_no, cure.takes, cure.took, known)
    for address, group in groupby(passes, key=lambda p: p.address):
        own = list(group)
        if own[-1].finished and (material := own[0].material) is not None and not any(p.skipped for p in own):
            name = material.name or material.id
            yield LessonCase("passes", material.id, name, address, 0, own[0].step.passes, len(own))


def _work(folder: ShopFolder, passes: tuple[Pass, ...], hours: OpenHours) -> Iterator[LessonCase]:
    taken = actual_minutes(passes, hours)
    for p in passes:
        if p.base and taken.get(p.key):
            name = of_job(folder, p.ref, p.ref.job)
            yield LessonCase("work", kind_of(p.ref), name, p.address, p.pass_no, p.base, taken[p.key])
