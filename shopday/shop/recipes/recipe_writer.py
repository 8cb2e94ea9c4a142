"""A finished job kept as the shop's own recipe, with the times it really took."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from shopday.shop.editing.toml_format import file_text
from shopday.shop.models import Job, Step
from shopday.shop.quantities import takes_text
from shopday.text.durations import minutes_text

_PLAIN = (
    "hands",
    "one_sitting",
    "dusty",
    "noisy",
    "still_air",
    "room",
    "material",
    "amount_ml",
    "lifts_kg",
    "minds",
    "costs",
    "moisture",
    "passes",
    "another_pass",
)
_SIZE = {
    "id": "size",
    "name": "Size of the work",
    "default": 1,
    "least": 0.1,
    "most": 8,
    "help": "1 is as big as the piece it was kept from; 2 is twice the work.",
}
"""The one parameter of a recipe kept from a job: all its hands-on times are multiplied by it."""


def save_recipe(job: Job, actual_times: Mapping[str, int]) -> str:
    """The text of recipes/NAME.toml for a job; things that had to arrive are left out, their days are past.

    actual_times: hands-on minutes by step address (JOB/PART/STEP or JOB/STEP), one pass's worth; steps
    without one keep what was planned. Parts become one list of steps, named PART-STEP.
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
            after = before if step.after is None else _after(step, part.id, parts, whole)
            tables.append(_table(step, name, after, measured.get(f"{part.id}/{step.id}")))
            before = [name]
        lasts += before
    for step in (step for step in job.steps if step.arrives is None):
        after = lasts if step.after is None else _after(step, None, parts, whole)
        tables.append(_table(step, step.id, after, measured.get(step.id)))
        lasts = [step.id]
    return tables


def _after(step: Step, part: str | None, parts: Mapping[str, set[str]], whole: set[str]) -> list[Any]:
    """What a step waited for, by its new names; other jobs and arrivals are left behind."""
    entries: list[Any] = []
    for after in step.after or ():
        *owner, name = after.step.split("/")
        home = owner[0] if len(owner) == 1 else part if not owner else ""
        if home and name in parts.get(home, ()):
            new = f"{home}-{name}"
        elif not owner and name in whole:
            new = name
        else:
            continue
        entry = {"step": new, "when": after.when, "within": _time(after.within)}
        entries.append(_written(entry) if after.when or after.within else new)
    return entries


def _table(step: Step, name: str, after: list[Any], measured: int | None) -> dict[str, Any]:
    table: dict[str, Any] = {"id": name, "name": step.label}
    if step.away is not None:
        table["away"] = {"who": step.away.who, "takes": takes_text(step.away.takes)}
    else:
        table["hands_on"] = f"{measured if measured is not None else step.hands_on}m * size"
    plain = step.model_dump(exclude_defaults=True, include=set(_PLAIN))
    table |= {key: plain[key] for key in _PLAIN if key in plain}
    table |= _written(
        {"stations": list(step.stations), "gear": dict(step.gear), "within": _time(step.within)}
    )
    table |= _windows(step)
    if step.waits is not None:
        table["waits"] = [_wait(wait.model_dump(exclude_defaults=True)) for wait in step.waits]
    return {**table, "after": after}


def _windows(step: Step) -> dict[str, Any]:
    found = {"missed": _missed(step.missed)}
    if step.next_pass is not None:
        coat = step.next_pass
        later = {"extra": _time(coat.extra), "within": _time(coat.within), "missed": _missed(coat.missed)}
        found["next_pass"] = _written(later)
    return _written(found)


def _missed(missed: Any) -> dict[str, Any] | None:
    return _written({"adds": _time(missed.adds), "why": missed.why}) if missed else None


def _wait(table: dict[str, Any]) -> dict[str, Any]:
    return {**table, "takes": minutes_text(table["takes"])}


def _time(minutes: int | None) -> str | None:
    return None if minutes is None else minutes_text(minutes)


def _written(table: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in table.items() if value not in (None, [], {}, "")}
