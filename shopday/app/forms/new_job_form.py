"""From what was typed for a new job to the job itself."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from shopday.app.forms import parse_moment
from shopday.shop import quantities
from shopday.shop.models import Arrives, Job, Step
from shopday.text.names import free_slug

if TYPE_CHECKING:
    from shopday.shop.folder import ShopFolder
    from shopday.shop.recipes.recipe_library import MadePart, Recipe


@dataclass
class PartForm:
    """One part: its recipe and what was typed for its parameters; where it is bought, what comes, when, from whom."""

    recipe: Recipe
    values: dict[str, str] = field(default_factory=dict)
    bought: bool = False
    what: str = ""
    on: str = ""
    source: str = ""


@dataclass
class JobForm:
    """All that was typed. Empty durations mean that there is no such step."""

    title: str = ""
    customer: str = ""
    promise: str = ""
    assembly: str = ""
    delivery: str = "1h"
    parts: list[PartForm] = field(default_factory=list)


@dataclass(frozen=True)
class NewJobDraft:
    id: str
    job: Job
    parts: tuple[MadePart, ...]


def draft_job(form: JobForm, folder: ShopFolder, now: dt.datetime) -> NewJobDraft:
    """The job as typed. Raises ShopdayError or ValueError with one line that says what is missing."""
    from shopday.shop.recipes.recipe_library import after_all, joined

    today = now.date()
    made = [_made(part, id, folder, today) for id, part in zip(part_ids(form), form.parts, strict=True)]
    parts = joined([(part.recipe, part_made) for part, part_made in zip(form.parts, made, strict=True)])
    steps = [_step("assemble", "Assemble", form.assembly), _step("deliver", "Deliver", form.delivery)]
    promise = _day("Wanted by", form.promise, today) if form.promise.strip() else None
    job = Job(
        title=form.title.strip() or "New job", customer=form.customer.strip(), promise=promise,
        parts=parts, steps=after_all(parts, tuple(step for step in steps if step)),
    )  # fmt: skip
    if not job.parts and not job.steps:
        raise ValueError("Add a part first.")
    return NewJobDraft(free_slug(form.title, {*folder.jobs, *folder.faulty}), job, tuple(made))


def _made(part: PartForm, id: str, folder: ShopFolder, today: dt.date) -> MadePart:
    from shopday.shop.recipes.recipe_library import bought_part, make_part, parameters_of

    if not part.bought:
        return make_part(part.recipe, id, part.values, folder.shop, folder.materials)
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


def _step(id: str, name: str, typed: str) -> Step | None:
    if not typed.strip():
        return None
    try:
        return Step(id=id, name=name, hands_on=quantities.minutes(typed))
    except ValueError as error:
        raise ValueError(f"{name}: {error}") from None


def part_ids(form: JobForm) -> list[str]:
    """The recipe's name for each part, numbered from the second of a kind on."""
    ids: list[str] = []
    for part in form.parts:
        base, number = part.recipe.id, 1
        while (id := base if number == 1 else f"{base}-{number}") in ids:
            number += 1
        ids.append(id)
    return ids
