"""What a job can begin with: how long each usually takes, and what waits for it (common practice, calendar days)."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from test_three_sets import shop_at
from test_whole_jobs import NOW

from shopday.app.forms.new_job_form import JobForm, PartForm, draft_job
from shopday.planning.open_shop import OpenShop
from shopday.shop.editing.file_edits import write_job
from shopday.shop.models import Step
from shopday.shop.recipes.recipe_library import recipes

DAY = 1440
GATES = [
    ("deposit", "customer", 2, 4, 7),
    ("drawing", "customer", 3, 7, 10),
    ("timber", "timber merchant", 3, 7, 14),
    ("hardware", "hardware supplier", 3, 10, 21),
]


def begun_with(folder: Path, *gates: str) -> dict[str, Step]:
    """The steps before the work, by id; the job is in the shop's folder."""
    form = JobForm(title="Piece", parts=[PartForm(recipes()["doors"])], gates=set(gates))
    job = draft_job(form, shop_at(folder).folder, NOW).job
    write_job(folder / "jobs" / "piece.toml", job)
    return {step.id: step for part in job.parts if part.id == "before" for step in part.steps}


@pytest.mark.parametrize(("gate", "who", "shortest", "usual", "longest"), GATES)
def test_a_gate_takes_what_is_usual(
    tmp_path: Path, gate: str, who: str, shortest: int, usual: int, longest: int
) -> None:
    step = begun_with(tmp_path, gate)[gate]
    assert step.away is not None
    assert (step.away.who, step.away.takes) == (who, ("minutes", usual * DAY))
    assert step.spread == (shortest * DAY, longest * DAY)


def test_a_drawing_is_made_in_two_hours_before_it_is_sent(tmp_path: Path) -> None:
    before = begun_with(tmp_path, "drawing")
    assert before["make-drawing"].hands_on == 120
    assert [after.step for after in before["drawing"].after or ()] == ["make-drawing"]


def test_timber_is_ordered_after_deposit_and_drawing_and_work_waits_for_it(tmp_path: Path) -> None:
    """Drawn on Tuesday from 8 to 10 and approved a week later; the timber comes a week after that. Hardware is waited for
    by the delivery alone."""
    begun_with(tmp_path, "deposit", "drawing", "timber", "hardware")
    plan = OpenShop(tmp_path, NOW).plan(effort=0)
    assert plan.unplaced == ()
    rows = {step.step: step for step in plan.steps if step.part == "before"}
    work = [step for step in plan.steps if step.part == "doors"]
    delivery = next(step for step in plan.steps if step.step == "deliver")
    approved = dt.datetime(2026, 12, 8, 10, 0)
    assert rows["drawing"].complete.replace(tzinfo=None) == approved
    assert rows["timber"].complete.replace(tzinfo=None) == approved + dt.timedelta(days=7)
    assert min(step.start for step in work) >= rows["timber"].complete
    assert rows["hardware"].complete.replace(tzinfo=None) == approved + dt.timedelta(days=10)
    assert delivery.start >= rows["hardware"].complete
