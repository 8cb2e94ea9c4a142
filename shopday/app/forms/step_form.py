"""The few fields of a step that change in a shop's day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import TYPE_CHECKING

from shopday.app.dialogs.form_dialog import Blank, FormDialog, SeenFile
from shopday.app.forms import parse_field, parse_moment
from shopday.shop import typed_values
from shopday.shop.models import Arrives, Job, Step
from shopday.text.durations import minutes_text

if TYPE_CHECKING:
    from shopday.planning.plan import PlannedStep


def step_form(planned: PlannedStep, job: Job, seen: SeenFile, today: dt.date) -> FormDialog:
    step = job.step_at(planned.part, planned.step)
    return FormDialog(f"Change {planned.name}", _blanks(step, today) if step else (), seen, removable=True)


def _arrival(arrives: Arrives, today: dt.date) -> Callable[[str], object]:
    """The same delivery on another day."""
    return lambda text: arrives.model_copy(update={"on": parse_moment.parse_day(text, today)})


def _blanks(step: Step, today: dt.date) -> list[Blank]:
    found = [Blank("name", "Name", step.name)]
    if step.arrives is not None:
        on = step.arrives.on.isoformat()
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
    if step.after is None or all(after.when is None and after.within is None for after in step.after):
        said = ", ".join(after.step for after in step.after or ())
        found.append(Blank("after", "After", said, "empty: the step before it", typed_values.field_list))
    return found
