"""Every recipe with three sets of numbers, made through the form's own draft into a job, written, read and planned.

The minutes of work are recorded, so that a change of a sum shows; those of the panel top were compared with the hours in
which furniture makers count (common practice).
"""

from __future__ import annotations

from pathlib import Path

import pytest
from test_whole_jobs import NOW, SHOP

from shopday.app.forms.new_job_form import JobForm, PartForm, draft_job
from shopday.planning.open_shop import OpenShop
from shopday.shop.editing.file_edits import write_job
from shopday.shop.recipes.recipe_library import Recipe, recipes

TWO = SHOP.replace('hours = { saturday = ["09:00-13:00"] }\n', "")
"""Two people all week, so that what takes two can be done any day."""

RECORDED = {
    "bench-shelf": (85, 335, 1300),
    "bent-lamination": (230, 425, 2215),
    "case-piece": (845, 1405, 9095),
    "chairs": (1140, 1140, 22545),
    "doors": (230, 360, 3505),
    "drawers": (240, 960, 9600),
    "finish-drying-oil": (55, 250, 24125),
    "finish-flood-resin": (90, 160, 825),
    "finish-hardwax-oil": (40, 210, 7405),
    "finish-lacquer": (40, 250, 13175),
    "finish-oil-varnish": (45, 270, 19055),
    "finish-shellac": (35, 310, 15935),
    "finish-stain": (50, 170, 4870),
    "finish-waterborne-varnish": (50, 305, 19545),
    "glass-or-stone": (125, 125, 125),
    "leg-apron-base": (280, 570, 2955),
    "outside-base": (220, 250, 585),
    "panel-top": (235, 670, 3195),
    "refinishing": (75, 345, 6375),
    "resin-top": (400, 1060, 15215),
    "steam-bending": (185, 340, 1835),
    "turned-legs": (80, 315, 21830),
    "upholstered-seat": (120, 120, 2580),
    "veneered-panel": (155, 300, 25770),
}
"""Hands-on minutes of all passes with the least, the usual and the most of every number."""


def typed(recipe: Recipe, pick: str) -> dict[str, str]:
    """What a person types; the usual is left as it stands."""
    numbers = (p for p in recipe.parameters if p.kind == "number")
    return {} if pick == "default" else {p.id: f"{getattr(p, pick):g}" for p in numbers}


def test_every_recipe_is_recorded() -> None:
    assert set(RECORDED) == set(recipes())


@pytest.mark.parametrize("name", RECORDED)
@pytest.mark.parametrize("pick", ["least", "default", pytest.param("most", marks=pytest.mark.slow)])
def test_it_is_planned_with_the_minutes_recorded(tmp_path: Path, name: str, pick: str) -> None:
    (tmp_path / "jobs").mkdir()
    (tmp_path / "shop.toml").write_text(TWO, "utf-8")
    recipe = recipes()[name]
    form = JobForm(title="Piece", delivery="", parts=[PartForm(recipe, typed(recipe, pick))])
    made = draft_job(form, OpenShop(tmp_path, NOW).folder, NOW)
    write_job(tmp_path / "jobs" / "piece.toml", made.job)
    shop = OpenShop(tmp_path, NOW)
    assert shop.folder.jobs["piece"] == made.job
    assert shop.plan(effort=0).unplaced == ()
    work = sum(step.hands_on * step.passes for part in made.job.parts for step in part.steps)
    assert work == RECORDED[name][("least", "default", "most").index(pick)]
