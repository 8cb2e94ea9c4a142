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
        (335, 0, 1460, 15, 8, 25, 0, 6, 2, 0, 0),
        (1300, 60, 1460, 800, 24, 1161, 0, 10, 20, 0, 0),
    ),
    "bent-lamination": (
        (230, 0, 0, 5, 4, 0, 0, 6, 13, 0, 0),
        (425, 0, 0, 200, 8, 0, 0, 7, 17, 0, 0),
        (2215, 0, 0, 10560, 8, 0, 0, 29, 9, 0, 0),
    ),
    "case-piece": (
        (845, 720, 2940, 65, 20, 0, 0, 11, 24, 0, 0),
        (1405, 2880, 7350, 110, 33, 60, 0, 16, 30, 0, 0),
        (9095, 66240, 44100, 1650, 256, 6804, 0, 47, 180, 0, 0),
    ),
    "chairs": (
        (1140, 2880, 0, 10, 8, 0, 0, 8, 0, 0, 0),
        (1140, 2880, 0, 10, 8, 0, 0, 8, 0, 0, 0),
        (22545, 69120, 0, 240, 8, 0, 0, 54, 0, 0, 0),
    ),
    "doors": (
        (230, 240, 0, 5, 4, 0, 0, 7, 0, 0, 0),
        (360, 240, 0, 10, 8, 0, 0, 7, 0, 0, 0),
        (3505, 2880, 0, 120, 8, 0, 0, 18, 0, 0, 0),
    ),
    "drawers": (
        (240, 240, 0, 5, 4, 0, 0, 6, 0, 0, 0),
        (960, 480, 0, 20, 8, 0, 0, 7, 0, 0, 0),
        (9600, 4800, 0, 200, 8, 0, 0, 25, 0, 0, 0),
    ),
    "finish-drying-oil": (
        (55, 0, 0, 5, 0, 0, 0, 2, 0, 0, 0),
        (250, 0, 0, 480, 0, 30, 0, 7, 0, 0, 0),
        (24125, 0, 0, 70400, 0, 1000, 0, 19, 0, 0, 0),
    ),
    "finish-flood-resin": (
        (90, 0, 1170, 100, 0, 0, 0, 3, 30, 0, 0),
        (160, 0, 1170, 3085, 0, 0, 0, 3, 30, 0, 0),
        (825, 21060, 4680, 43230, 0, 0, 0, 6, 75, 0, 15000),
    ),
    "finish-hardwax-oil": (
        (40, 10, 20, 5, 0, 0, 0, 3, 0, 0, 0),
        (210, 20160, 0, 120, 0, 30, 0, 7, 64, 0, 0),
        (7405, 1421280, 0, 7200, 0, 1000, 0, 147, 3600, 0, 0),
    ),
    "finish-lacquer": (
        (40, 10080, 0, 10, 0, 0, 0, 2, 0, 0, 0),
        (250, 20160, 20, 1320, 0, 30, 0, 9, 0, 0, 0),
        (14995, 20160, 370, 198000, 0, 1000, 0, 28, 0, 0, 0),
    ),
    "finish-oil-varnish": (
        (45, 43200, 0, 5, 0, 0, 0, 2, 0, 0, 0),
        (270, 86400, 5820, 750, 0, 30, 0, 8, 0, 0, 0),
        (20875, 86400, 6170, 132000, 0, 1000, 0, 28, 0, 0, 0),
    ),
    "finish-shellac": (
        (35, 10080, 0, 10, 0, 0, 0, 2, 0, 0, 0),
        (310, 20160, 20, 1440, 0, 30, 0, 11, 0, 0, 0),
        (17755, 20160, 370, 158400, 0, 1000, 0, 28, 0, 0, 0),
    ),
    "finish-stain": (
        (50, 0, 0, 5, 0, 0, 0, 2, 0, 0, 0),
        (170, 0, 0, 295, 0, 0, 0, 2, 0, 0, 0),
        (4870, 43200, 0, 11005, 0, 0, 0, 3, 0, 0, 0),
    ),
    "finish-waterborne-varnish": (
        (50, 28800, 0, 10, 0, 0, 0, 2, 0, 0, 120),
        (305, 57600, 2580, 1080, 0, 30, 0, 9, 0, 0, 240),
        (21365, 57600, 2930, 158400, 0, 1000, 0, 28, 0, 0, 240),
    ),
    "glass-or-stone": (
        (125, 0, 0, 0, 0, 0, 0, 4, 0, 1, 0),
        (125, 0, 0, 0, 0, 18, 0, 4, 0, 10, 0),
        (125, 0, 0, 0, 0, 1440, 0, 6, 0, 90, 0),
    ),
    "leg-apron-base": (
        (280, 120, 0, 10, 4, 0, 0, 7, 4, 0, 0),
        (570, 120, 0, 15, 8, 0, 0, 7, 16, 0, 0),
        (2955, 600, 0, 65, 14, 0, 0, 11, 72, 0, 0),
    ),
    "outside-base": (
        (220, 0, 0, 0, 0, 3, 0, 6, 0, 1, 0),
        (250, 0, 0, 0, 0, 90, 0, 9, 0, 15, 0),
        (585, 0, 0, 0, 0, 1600, 0, 12, 0, 180, 0),
    ),
    "panel-top": (
        (235, 0, 1470, 5, 2, 0, 0, 8, 1, 0, 0),
        (670, 11520, 1470, 75, 7, 89, 0, 16, 9, 0, 0),
        (3195, 131310, 2940, 5155, 20, 2117, 0, 36, 28, 0, 0),
    ),
    "refinishing": (
        (75, 0, 0, 0, 0, 1, 0, 2, 0, 0, 0),
        (345, 0, 0, 5, 8, 30, 50, 6, 3, 0, 0),
        (6375, 0, 0, 75, 8, 500, 50, 20, 3, 0, 0),
    ),
    "resin-top": (
        (410, 720, 300, 10, 0, 0, 40, 10, 16, 0, 0),
        (1070, 21480, 1160, 10035, 0, 234, 40, 17, 105, 0, 1200),
        (15455, 232680, 56200, 675895, 0, 6072, 40, 82, 6036, 0, 96240),
    ),
    "steam-bending": (
        (185, 11520, 0, 0, 0, 0, 0, 6, 0, 0, 37440),
        (340, 20160, 0, 0, 0, 0, 0, 6, 0, 0, 37440),
        (1835, 53280, 0, 0, 0, 0, 0, 6, 0, 0, 37440),
    ),
    "turned-legs": (
        (80, 0, 0, 0, 0, 0, 0, 3, 0, 0, 0),
        (315, 0, 0, 0, 0, 1, 0, 4, 0, 0, 0),
        (21830, 0, 0, 0, 0, 89, 0, 5, 0, 0, 0),
    ),
    "upholstered-seat": (
        (120, 0, 0, 0, 0, 0, 0, 4, 0, 1, 0),
        (120, 0, 0, 0, 0, 0, 0, 5, 0, 14415, 0),
        (2580, 0, 0, 0, 0, 0, 0, 5, 0, 172920, 0),
    ),
    "veneered-panel": (
        (155, 0, 0, 10, 0, 0, 0, 5, 5, 0, 0),
        (300, 0, 0, 400, 0, 9, 0, 5, 9, 0, 0),
        (25770, 0, 0, 49500, 0, 184, 0, 25, 31, 0, 0),
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


def shop_at(folder: Path) -> OpenShop:
    (folder / "jobs").mkdir()
    (folder / "shop.toml").write_text(TWO, "utf-8")
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
