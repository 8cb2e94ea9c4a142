"""Saves a finished job as the shop's own recipe, with the times it really took."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from shopday.shop.editing.toml_format import file_text, step_fields
from shopday.shop.models import After, Job, Step

_SIZE = {
    "id": "size",
    "name": "Size of the work",
    "default": 1,
    "least": 0.1,
    "most": 8,
    "help": "1 is as big as the piece it was kept from; 2 is twice the work.",
}
"""The only parameter of a recipe saved from a job: all its hands-on times are multiplied by it."""


def save_recipe(job: Job, actual_times: Mapping[str, int]) -> str:
    """The text of recipes/NAME.toml for a job. Things that had to arrive are left out, as their days are past.

    actual_times: hands-on minutes of one pass, by step address (JOB/PART/STEP or JOB/STEP); other steps keep their
    estimates. Parts become one list of steps, named PART-STEP.
    """
    measured = {key.partition("/")[2]: minutes for key, minutes in actual_times.items()}
    return file_text(
        {
            "name": job.title or "Our own recipe",
            "says": "Kept from a finished job, with the times it took.",
            "parameters": [_SIZE],
            "steps": _steps(job, measured),
        }
    )


def _steps(job: Job, measured: Mapping[str, int]) -> list[dict[str, Any]]:
    tables: list[dict[str, Any]] = []
    lasts: list[str] = []
    parts = {part.id: {step.id for step in part.steps if step.arrives is None} for part in job.parts}
    whole = {step.id for step in job.steps if step.arrives is None}
    for part in job.parts:
        before: list[str] = []
        for step in (step for step in part.steps if step.arrives is None):
            name = f"{part.id}-{step.id}"
            after = _all(before) if step.after is None else _after(step, part.id, parts, whole)
            tables.append(_table(step, name, after, measured.get(f"{part.id}/{step.id}")))
            before = [name]
        lasts += before
    for step in (step for step in job.steps if step.arrives is None):
        after = _all(lasts) if step.after is None else _after(step, None, parts, whole)
        tables.append(_table(step, step.id, after, measured.get(step.id)))
        lasts = [step.id]
    return tables


def _all(names: Iterable[str]) -> tuple[After, ...]:
    return tuple(After(step=name) for name in names)


def _after(step: Step, part: str | None, parts: Mapping[str, set[str]], whole: set[str]) -> tuple[After, ...]:
    """What a step waited for, by its new names; other jobs and arrivals are dropped."""
    entries: list[After] = []
    for after in step.after or ():
        *owner, name = after.step.split("/")
        home = owner[0] if len(owner) == 1 else part if not owner else ""
        if home and name in parts.get(home, ()):
            new = f"{home}-{name}"
        elif not owner and name in whole:
            new = name
        else:
            continue
        entries.append(after.model_copy(update={"step": new}))
    return tuple(entries)


def _table(step: Step, name: str, after: tuple[After, ...], measured: int | None) -> dict[str, Any]:
    """A step as in its job's file, without the day it was fixed to, and with hands-on time that grows with the size."""
    kept = step.model_copy(update={"id": name, "name": step.label, "after": after, "on": None})
    work = step.hands_on if measured is None else measured
    return step_fields(kept) | ({} if step.absent else _at_work(step, work))


def _at_work(step: Step, work: int) -> dict[str, Any]:
    """The hands-on time, and times that are a share of it; setting up a machine takes the same for any size."""
    scale = work / step.hands_on if step.hands_on else 1
    table: dict[str, Any] = {"hands_on": _sized(work)}
    if step.spread is not None:
        table["spread"] = [_sized(round(end * scale)) for end in step.spread]
    if step.spreading is not None:
        table["spreading"] = _sized(round(step.spreading * scale))
    if step.setup is not None:
        table["setup"] = {"what": step.setup.what, "takes": f"min({step.setup.takes}m, {_sized(work)})"}
    return table


def _sized(minutes: int) -> str:
    return f"{minutes}m * size"
