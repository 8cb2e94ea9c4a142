"""Makes a job from what was typed in the New job form."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from shopday.shop import parse_moment, quantities
from shopday.shop.faults import ShopdayError
from shopday.shop.materials import formulas
from shopday.shop.models import Arrives, Job, Step
from shopday.text.names import free_slug

if TYPE_CHECKING:
    from shopday.shop.folder import ShopFolder
    from shopday.shop.recipes.recipe_library import MadePart, Parameter, Recipe


TIP_OVER = "tip-over"
"""The caution for steps of a piece that is fixed to a wall."""
FIXING = "30m"
"""How long it takes to fix the piece at the customer's (common practice)."""


@dataclass
class PartForm:
    """One part: its recipe and the values typed for its parameters; for a bought part, what arrives, when, and from
    whom."""

    recipe: Recipe
    values: dict[str, str] = field(default_factory=dict)
    bought: bool = False
    what: str = ""
    on: str = ""
    source: str = ""


@dataclass
class JobForm:
    """All that was typed. An empty duration means that there is no such step. gates: the ids of the job's gates."""

    title: str = ""
    customer: str = ""
    promise: str = ""
    assembly: str = ""
    wrapping: str = ""
    delivery: str = "1h"
    parts: list[PartForm] = field(default_factory=list)
    gates: set[str] = field(default_factory=set)


FIELDS = (
    ("title", "Piece", "what it is"), ("customer", "For", ""), ("promise", "Wanted by", "18 Dec, in 2 weeks"),
    ("assembly", "Assembly", "2h, or empty"), ("wrapping", "Wrapping", "30m, or empty"), ("delivery", "Delivery", "1h, or empty"),
)  # fmt: skip
"""The fields of the whole job: name, label, hint."""


class AtField(ShopdayError):
    """A typed value is wrong. part: the place of its part in the form; parameter: its id."""

    def __init__(self, text: str, part: int, parameter: str) -> None:
        super().__init__(text)
        self.part, self.parameter = part, parameter


@dataclass(frozen=True)
class NewJobDraft:
    id: str
    job: Job
    parts: tuple[MadePart, ...]

    @property
    def cautions(self) -> tuple[str, ...]:
        """What to mind on this job, each caution once."""
        return tuple(dict.fromkeys(said for part in self.parts for said in part.cautions))


def draft_job(form: JobForm, folder: ShopFolder, now: dt.datetime) -> NewJobDraft:
    """The job as typed. Raises ShopdayError or ValueError with one line that says what is missing."""
    from shopday.shop.recipes.recipe_library import after_all, behind_gates, gate_part, joined

    today = now.date()
    made = _all_made(form, folder, today)
    parts = joined([(part.recipe, part_made) for part, part_made in zip(form.parts, made, strict=True)])
    before = gate_part(form.gates)
    parts = (*([before] if before else []), *behind_gates(parts, form.gates))
    carried = [part_made.measures.get("kilograms", 0) for part_made in made]
    heaviest = max(carried, default=0)
    tips_over = any(TIP_OVER in step.minds for part in parts for step in part.steps)
    fixing = FIXING if tips_over and form.delivery.strip() else ""
    steps = [
        _step("assemble", "Assemble", form.assembly, heaviest, folder),
        _step("wrap", "Wrap for delivery", form.wrapping, heaviest, folder),
        _step("deliver", "Deliver", form.delivery, sum(carried), folder, ("delivery",)),
        _step("fix", "Fix it to the wall", fixing, 0, folder, (TIP_OVER,)),
    ]
    promise = _day("Wanted by", form.promise, today) if form.promise.strip() else None
    job = Job(
        title=form.title.strip() or "New job", customer=form.customer.strip(), promise=promise,
        parts=parts, steps=after_all(parts, tuple(step for step in steps if step)),
    )  # fmt: skip
    if not job.parts and not job.steps:
        raise ValueError("Add a part first.")
    return NewJobDraft(free_slug(form.title, {*folder.jobs, *folder.faulty}), job, tuple(made))


def _all_made(form: JobForm, folder: ShopFolder, today: dt.date) -> list[MadePart]:
    """The parts as made. A finish knows the size and weight of its pieces: those since the finish before it."""
    from shopday.shop.recipes.recipe_library import CannotMake

    made: list[MadePart] = []
    pieces: list[MadePart] = []
    for place, (id, part) in enumerate(zip(part_ids(form), form.parts, strict=True)):
        if place and form.parts[place - 1].recipe.finishing and not part.recipe.finishing:
            pieces = []
        try:
            made.append(_made(part, id, folder, today, pieces))
        except CannotMake as error:
            group, number = error.where[:2]
            if group != "parameters" or not isinstance(number, int):
                raise
            raise AtField(str(error), place, part.recipe.parameters[number].id) from None
        if not part.recipe.finishing:
            pieces.append(made[-1])
    return made


def _of_pieces(parameter: Parameter, pieces: Iterable[MadePart]) -> float | None:
    """The sum over the pieces that a parameter asks for, within its limits; None if the pieces do not tell."""
    total = sum(piece.measures.get(parameter.from_pieces, 0) for piece in pieces)
    kept = min(parameter.most, max(parameter.least, round(total, 2)))
    return kept if parameter.from_pieces and total > 0 else None


def _made(part: PartForm, id: str, folder: ShopFolder, today: dt.date, pieces: list[MadePart]) -> MadePart:
    from shopday.shop.recipes.recipe_library import bought_part, make_part, parameters_of

    if not part.bought:
        told: dict[str, float | str] = {
            p.id: value for p in part.recipe.parameters if (value := _of_pieces(p, pieces))
        }
        typed = {name: value for name, value in part.values.items() if value or name not in told}
        return make_part(part.recipe, id, told | typed, folder.shop, folder.materials)
    what = part.what.strip() or part.recipe.name
    if not part.on.strip():
        raise ValueError(f"{what}: when is it to be here? Type a day, as 18 Dec or in 2 weeks.")
    arrives = Arrives(what=what, on=_day(what, part.on, today), source=part.source.strip())
    asked = {parameter.id for parameter in parameters_of(part.recipe, bought=True)}
    values = {name: typed for name, typed in part.values.items() if name in asked}
    return bought_part(part.recipe, id, values, arrives, folder.shop, folder.materials)


def _day(label: str, typed: str, today: dt.date) -> dt.date:
    try:
        return parse_moment.parse_day(typed, today)
    except ValueError as error:
        raise ValueError(f"{label}: {error}") from None


def _step(
    id: str, name: str, typed: str, kilograms: float, folder: ShopFolder, minds: tuple[str, ...] = ()
) -> Step | None:
    """The step, or None if nothing was typed. kilograms: what is lifted; if heavy, the step is for two if the shop
    has two."""
    if not typed.strip():
        return None
    try:
        work = quantities.minutes(typed)
    except ValueError as error:
        raise ValueError(f"{name}: {error}") from None
    for_two = formulas.hands(kilograms) == 2 and len(folder.shop.people) > 1
    heavy = round(kilograms, 1) if kilograms > formulas.LIFT_ALONE_KG else None
    return Step(id=id, name=name, hands_on=work, hands=2 if for_two else 1, lifts_kg=heavy, minds=minds)


def part_ids(form: JobForm) -> list[str]:
    """An id for each part: that of its recipe, numbered from the second of a kind."""
    ids: list[str] = []
    for part in form.parts:
        base, number = part.recipe.id, 1
        while (id := base if number == 1 else f"{base}-{number}") in ids:
            number += 1
        ids.append(id)
    return ids
