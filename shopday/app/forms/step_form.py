"""The form for the fields of a step that change in daily work."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from shopday.app.dialogs.form_dialog import Blank, FormDialog, SeenFile
from shopday.app.forms import parse_field
from shopday.app.forms.note_blanks import note_blanks
from shopday.shop import parse_moment, typed_values
from shopday.shop.models import After, Arrives, Job, Station, Step
from shopday.shop.step_graph import refs
from shopday.text.durations import minutes_text
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.planning.plan import PlannedStep


def step_form(
    planned: PlannedStep, job: Job, stations: Sequence[Station], seen: SeenFile, today: dt.date
) -> FormDialog:
    step = job.step_at(planned.part, planned.step)
    blanks = _blanks(step, today) if step else []
    if step is not None and not step.absent and stations:
        there = tuple((station.id, station.name or station.id) for station in stations)
        used = ", ".join(step.stations)
        blanks.append(Blank("stations", "Where", used, "none", typed_values.field_list, there, many=True))
    if step is not None and _is_plain(step.after):
        blanks.append(_after(planned, job, step))
    if step is not None:
        blanks += note_blanks(step)
    return FormDialog(f"Change {planned.full}", blanks, seen, removable=True)


def _is_plain(after: Sequence[After] | None) -> bool:
    """True if no entry has a moment or a window, which a plain list of steps would lose."""
    return all(entry.when is None and entry.within is None for entry in after or ())


def _after(planned: PlannedStep, job: Job, step: Step) -> Blank:
    """What the step comes after, picked from the steps of its job; steps of other jobs are kept."""
    names: dict[str, str] = {}
    spelt: dict[str, str] = {}
    for ref in refs(planned.job, job):
        if (ref.part, ref.step.id) == (planned.part, planned.step):
            continue
        value = ref.step.id if ref.part == planned.part else f"{ref.part or planned.job}/{ref.step.id}"
        part = next((p.label for p in job.parts if p.id == ref.part), None)
        names[value] = f"{ref.step.label} ({part})" if part else ref.step.label
        spelt |= {ref.address: value, value: value}
    written = [spelt.get(entry.step, entry.step) for entry in step.after or ()]
    names |= {value: value for value in written if value not in names}
    return Blank(
        "after",
        "After",
        ", ".join(written),
        "the step before it",
        typed_values.field_list,
        tuple(names.items()),
        True,
    )


def _arrival(arrives: Arrives, today: dt.date) -> Callable[[str], object]:
    """A reader that moves the delivery to another day."""
    return lambda text: arrives.model_copy(update={"on": parse_moment.parse_day(text, today)})


def _blanks(step: Step, today: dt.date) -> list[Blank]:
    found = [Blank("name", "Name", step.name)]
    if step.arrives is not None:
        on = date_text(step.arrives.on, today)
        found.append(
            Blank("arrives", "Arrives on", on, "3 Dec, Thu, in 2 weeks", _arrival(step.arrives, today))
        )
    if not step.absent:
        within = minutes_text(step.within) if step.within is not None else ""
        found += [
            Blank(
                "hands_on", "Hands-on time", minutes_text(step.hands_on), "1h 30m", parse_field.field_duration
            ),
            Blank("passes", "Passes", str(step.passes), "coats, pours", typed_values.field_whole(1, 100)),
            Blank("within", "Start within", within, "24h, or empty", parse_field.field_duration),
        ]
    return found
