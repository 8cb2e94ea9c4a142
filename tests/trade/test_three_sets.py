"""Every recipe with three sets of numbers, made through the form's own draft into a job, written, read and planned.

Their sums are recorded, so that a change of a number shows; those of the panel top were compared with the hours in
which furniture makers count (common practice).
"""

from __future__ import annotations

from pathlib import Path

import pytest
from test_whole_jobs import NOW, SHOP

from shopday.app.forms.new_job_form import JobForm, PartForm, draft_job
from shopday.planning.open_shop import OpenShop
from shopday.shop.editing.file_edits import write_job
from shopday.shop.folder import ShopFolder
from shopday.shop.models import Job, Step
from shopday.shop.recipes.recipe_library import Recipe, recipes

pytestmark = pytest.mark.slow

TWO = SHOP.replace('hours = { saturday = ["09:00-13:00"] }\n', "")
"""Two people all week, so that what takes two can be done any day."""

RECORDED = {
    "bench-shelf": (
        (85, 0, 0, 0, 0, 0, 0, 3, 0, 0, 0),
        (335, 0, 1460, 15, 8, 51, 0, 6, 2, 0, 0),
        (1300, 60, 1460, 800, 24, 2903, 0, 18, 20, 0, 0),
    ),
    "bent-lamination": (
        (230, 0, 0, 5, 4, 0, 0, 6, 13, 0, 0),
        (425, 720, 0, 200, 16, 0, 0, 7, 34, 0, 1800),
        (2215, 16560, 0, 10560, 192, 0, 0, 34, 216, 0, 41400),
    ),
    "case-piece": (
        (565, 720, 2940, 65, 20, 0, 0, 11, 29, 0, 0),
        (1405, 2880, 7350, 110, 33, 60, 0, 17, 40, 0, 0),
        (12205, 66240, 44100, 1650, 256, 6804, 0, 91, 218, 0, 0),
    ),
    "chairs": (
        (1140, 2880, 0, 10, 8, 0, 0, 9, 30, 0, 0),
        (1140, 2880, 0, 10, 8, 0, 0, 9, 30, 0, 0),
        (22905, 18720, 0, 240, 192, 0, 0, 147, 720, 0, 0),
    ),
    "cnc-parts": (
        (175, 0, 0, 0, 0, 0, 0, 4, 0, 0, 0),
        (260, 0, 0, 0, 0, 0, 0, 5, 0, 0, 0),
        (14865, 0, 0, 0, 0, 0, 0, 104, 0, 0, 0),
    ),
    "doors": (
        (230, 240, 0, 5, 4, 0, 0, 7, 0, 0, 0),
        (360, 240, 0, 10, 8, 0, 0, 7, 0, 0, 0),
        (3525, 900, 0, 120, 96, 0, 0, 28, 0, 0, 0),
    ),
    "drawers": (
        (240, 240, 0, 5, 4, 0, 0, 6, 0, 0, 0),
        (960, 360, 0, 20, 16, 0, 0, 8, 0, 0, 0),
        (9610, 2520, 0, 200, 160, 0, 0, 63, 0, 0, 0),
    ),
    "finish-drying-oil": (
        (55, 0, 0, 5, 0, 0, 0, 2, 0, 0, 0),
        (250, 0, 0, 480, 0, 30, 0, 7, 0, 0, 0),
        (24450, 0, 0, 70560, 0, 1000, 0, 118, 0, 0, 0),
    ),
    "finish-flood-resin": (
        (90, 0, 1170, 100, 0, 0, 0, 3, 30, 0, 0),
        (160, 0, 1170, 3085, 0, 0, 0, 3, 30, 0, 0),
        (825, 21060, 4680, 43230, 0, 0, 0, 6, 75, 0, 15000),
    ),
    "finish-hardwax-oil": (
        (40, 10, 20, 5, 0, 0, 0, 3, 0, 0, 0),
        (210, 20160, 0, 120, 0, 30, 0, 7, 64, 0, 0),
        (7410, 1421280, 0, 7200, 0, 1000, 0, 150, 3600, 0, 0),
    ),
    "finish-lacquer": (
        (40, 10080, 0, 10, 0, 0, 0, 2, 0, 0, 0),
        (250, 20160, 0, 1320, 0, 30, 0, 11, 0, 0, 0),
        (15020, 20160, 0, 198000, 0, 1000, 0, 88, 0, 0, 0),
    ),
    "finish-oil-varnish": (
        (45, 43200, 0, 5, 0, 0, 0, 2, 0, 0, 0),
        (280, 86400, 8700, 750, 0, 30, 0, 11, 0, 0, 0),
        (24600, 86400, 63800, 132000, 0, 1000, 0, 132, 0, 0, 0),
    ),
    "finish-shellac": (
        (35, 10080, 0, 10, 0, 0, 0, 2, 0, 0, 0),
        (310, 20160, 0, 1440, 0, 30, 0, 13, 0, 0, 0),
        (17900, 20160, 0, 158400, 0, 1000, 0, 88, 0, 0, 0),
    ),
    "finish-stain": (
        (50, 0, 0, 5, 0, 0, 0, 2, 0, 0, 0),
        (170, 0, 0, 295, 0, 0, 0, 2, 0, 0, 0),
        (4925, 43200, 0, 11005, 0, 0, 0, 22, 0, 0, 0),
    ),
    "finish-uv-oil": (
        (35, 0, 0, 5, 0, 0, 0, 2, 0, 0, 0),
        (180, 0, 0, 135, 0, 30, 0, 7, 0, 0, 0),
        (6985, 0, 0, 8250, 0, 1000, 0, 34, 0, 0, 0),
    ),
    "finish-waterborne-varnish": (
        (50, 28800, 0, 10, 0, 0, 0, 2, 0, 0, 120),
        (325, 57600, 5120, 1080, 0, 30, 0, 13, 0, 0, 240),
        (25220, 57600, 28160, 158400, 0, 1000, 0, 135, 0, 0, 240),
    ),
    "glass-or-stone": (
        (125, 0, 0, 0, 0, 0, 0, 4, 0, 1, 0),
        (125, 0, 0, 0, 0, 18, 0, 4, 0, 10, 0),
        (125, 0, 0, 0, 0, 1440, 0, 6, 0, 90, 0),
    ),
    "green-slab": (
        (60, 315360, 0, 0, 0, 0, 0, 3, 0, 0, 626400),
        (195, 1061280, 0, 0, 0, 186, 0, 9, 0, 20, 2088000),
        (855, 4214880, 0, 0, 0, 2680, 0, 11, 0, 120, 8352000),
    ),
    "leg-apron-base": (
        (280, 120, 0, 10, 4, 3, 0, 7, 4, 0, 0),
        (575, 120, 0, 15, 8, 25, 0, 8, 16, 0, 0),
        (3030, 720, 0, 75, 36, 437, 0, 31, 72, 0, 0),
    ),
    "outside-base": (
        (220, 0, 0, 0, 0, 3, 0, 6, 0, 1, 0),
        (250, 0, 0, 0, 0, 90, 0, 9, 0, 15, 0),
        (585, 0, 0, 0, 0, 1600, 0, 13, 0, 180, 0),
    ),
    "panel-top": (
        (235, 0, 1470, 5, 2, 0, 0, 8, 1, 0, 0),
        (670, 11520, 1470, 75, 7, 89, 0, 16, 9, 0, 0),
        (4250, 131310, 2940, 7360, 20, 2117, 0, 50, 229, 0, 0),
    ),
    "refinishing": (
        (75, 0, 0, 0, 0, 1, 0, 2, 0, 0, 0),
        (345, 0, 0, 5, 8, 30, 50, 6, 3, 0, 0),
        (7400, 10080, 0, 2280, 120, 500, 50, 45, 246, 0, 0),
    ),
    "resin-top": (
        (410, 720, 300, 10, 0, 0, 40, 10, 16, 0, 0),
        (1075, 21480, 1160, 10035, 0, 234, 40, 18, 105, 0, 1200),
        (15475, 237000, 56200, 675915, 0, 13358, 40, 107, 6042, 0, 96240),
    ),
    "steam-bending": (
        (185, 11520, 0, 0, 0, 0, 0, 6, 0, 0, 37440),
        (340, 20160, 0, 0, 0, 0, 0, 6, 0, 0, 37440),
        (1845, 96480, 0, 0, 0, 0, 0, 11, 0, 0, 37440),
    ),
    "turned-legs": (
        (80, 0, 0, 0, 0, 0, 0, 3, 0, 0, 0),
        (315, 0, 0, 0, 0, 1, 0, 4, 0, 0, 0),
        (22180, 0, 0, 0, 0, 89, 0, 112, 0, 0, 0),
    ),
    "upholstered-seat": (
        (120, 0, 0, 0, 0, 0, 0, 4, 0, 1, 0),
        (120, 0, 0, 0, 0, 0, 0, 5, 0, 14415, 0),
        (2595, 0, 0, 0, 0, 0, 0, 16, 0, 172920, 0),
    ),
    "veneered-panel": (
        (155, 0, 0, 10, 0, 0, 0, 5, 5, 0, 0),
        (300, 0, 0, 400, 0, 26, 0, 5, 9, 0, 0),
        (26035, 13680, 0, 49500, 0, 4039, 0, 170, 620, 0, 34200),
    ),
}
"""With the least, the usual and the most of every number: hands-on minutes of all passes; minutes of waits written; of windows
and what they add; millilitres; gear; kilograms lifted; chances of a further pass in %; people by passes; minutes of
spreading; time away; minutes of ranges."""

PICKS = ("least", "default", "most")


def figures(job: Job) -> tuple[int, ...]:
    """A job's sums, as they are recorded."""
    steps = [step for part in job.parts for step in part.steps]
    return (
        sum(s.hands_on * s.passes for s in steps),
        sum(wait.takes * s.passes for s in steps for wait in s.waits or ()),
        sum(map(windows, steps)),
        round(sum((s.amount_ml or 0) * s.passes for s in steps)),
        sum(sum(s.gear.values()) for s in steps),
        round(sum(s.lifts_kg or 0 for s in steps)),
        round(100 * sum(s.another_pass for s in steps)),
        sum(s.passes * s.hands for s in steps),
        sum(s.spreading or 0 for s in steps),
        sum(s.away.takes[1] for s in steps if s.away),
        sum(sum(one.spread) for s in steps for one in (s, *(s.waits or ())) if one.spread),
    )


def windows(step: Step) -> int:
    missed = [step.missed, step.next_pass.missed if step.next_pass else None]
    minutes = [step.within, *(after.within for after in step.after or ())]
    minutes += [step.next_pass.extra, step.next_pass.within] if step.next_pass else []
    return sum(filter(None, minutes)) + sum(one.adds for one in missed if one is not None)


def typed(recipe: Recipe, pick: str) -> dict[str, str]:
    """What a person types; the usual is left as it stands."""
    numbers = (p for p in recipe.parameters if p.kind == "number")
    return {} if pick == "default" else {p.id: f"{getattr(p, pick):g}" for p in numbers}


def test_every_recipe_is_recorded() -> None:
    assert set(RECORDED) == set(recipes())


def drafted(folder: ShopFolder, name: str, pick: str) -> Job:
    """The job that the form makes of a recipe alone."""
    recipe = recipes()[name]
    form = JobForm(title="Piece", delivery="", parts=[PartForm(recipe, typed(recipe, pick))])
    return draft_job(form, folder, NOW).job


def shop_at(folder: Path, units: str = "metric") -> OpenShop:
    (folder / "jobs").mkdir()
    (folder / "shop.toml").write_text(f'units = "{units}"\n{TWO}', "utf-8")
    return OpenShop(folder, NOW)


@pytest.mark.parametrize("name", RECORDED)
def test_its_values_are_those_recorded(tmp_path: Path, name: str) -> None:
    folder = shop_at(tmp_path).folder
    assert tuple(figures(drafted(folder, name, pick)) for pick in PICKS) == RECORDED[name]


@pytest.mark.parametrize("name", RECORDED)
@pytest.mark.parametrize("pick", ["least", "default", pytest.param("most", marks=pytest.mark.slow)])
def test_its_job_is_written_read_and_planned(tmp_path: Path, name: str, pick: str) -> None:
    job = drafted(shop_at(tmp_path).folder, name, pick)
    write_job(tmp_path / "jobs" / "piece.toml", job)
    shop = OpenShop(tmp_path, NOW)
    assert shop.folder.jobs["piece"] == job
    assert shop.plan(effort=0).unplaced == ()
