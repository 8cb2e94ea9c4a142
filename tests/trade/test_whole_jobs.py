"""Jobs made from recipes, written as a file, read back and planned."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from pathlib import Path

import pytest

from shopday.planning.open_shop import OpenShop
from shopday.shop.editing.file_edits import write_job
from shopday.shop.materials.material_book import builtin_materials
from shopday.shop.models import Job, Shop, Step
from shopday.shop.recipes.recipe_library import Recipe, joined, make_part, recipes

NOW = dt.datetime(2026, 12, 1, 8, 0)
SHOP = """
name = "Trial"
timezone = "Europe/Berlin"
[hours]
monday = ["08:00-12:00", "12:45-17:00"]
tuesday = ["08:00-12:00", "12:45-17:00"]
wednesday = ["08:00-12:00", "12:45-17:00"]
thursday = ["08:00-12:00", "12:45-17:00"]
friday = ["08:00-12:00", "12:45-17:00"]
saturday = ["09:00-13:00"]
[rules]
shortest_stretch = "20m"
dust_settles = "45m"
noise = "07:30-19:00"
[[people]]
id = "maker"
[[people]]
id = "sam"
role = "helper"
hours = { saturday = ["09:00-13:00"] }
[[stations]]
id = "bench"
[[stations]]
id = "finish-corner"
room = "finish"
[[stations]]
id = "cure-shelf"
room = "finish"
[[stations]]
id = "planer"
dusty = true
noisy = true
[[stations]]
id = "table-saw"
dusty = true
noisy = true
[[gear]]
id = "long-clamps"
count = 8
[[gear]]
id = "short-clamps"
count = 8
[temperature]
day = "20C"
night = "14C"
"""
JOBS = [
    ["panel-top", "leg-apron-base", "finish-hardwax-oil"],
    ["resin-top", "outside-base", "finish-oil-varnish"],
    ["case-piece", "doors", "drawers", "finish-waterborne-varnish"],
    ["chairs", "finish-drying-oil"],
    ["bench-shelf", "finish-shellac", "panel-top", "finish-lacquer"],
]


def asked(recipe: Recipe, values: Mapping[str, float | str]) -> dict[str, float | str]:
    return {p.id: values[p.id] for p in recipe.parameters if p.id in values}


def written(folder: Path, chosen: list[str], /, **values: float | str) -> Job:
    """A job of these recipes, in jobs/piece.toml; `values` for whatever recipe has a parameter of that name."""
    book, known = builtin_materials(), recipes()
    (folder / "jobs").mkdir()
    (folder / "shop.toml").write_text(SHOP, encoding="utf-8")
    shop = OpenShop(folder, NOW).folder.shop
    assert isinstance(shop, Shop)
    ids = [name if chosen.index(name) == n else f"{name}-{n}" for n, name in enumerate(chosen)]
    made = [
        (known[name], make_part(known[name], id, asked(known[name], values), shop, book))
        for name, id in zip(chosen, ids, strict=True)
    ]
    job = Job(title="Piece", parts=joined(made), steps=(Step(id="deliver", hands_on="2h"),))
    write_job(folder / "jobs" / "piece.toml", job)
    return job


@pytest.mark.parametrize("chosen", JOBS, ids="+".join)
def test_a_job_of_recipes_reads_back_the_same_and_can_be_planned(tmp_path: Path, chosen: list[str]) -> None:
    job = written(tmp_path, chosen)
    shop = OpenShop(tmp_path, NOW)
    assert shop.folder.jobs["piece"] == job
    plan = shop.plan(effort=0)
    assert plan.unplaced == ()
    assert len({step.address for step in plan.steps}) == sum(len(part.steps) for part in job.parts) + 1


def test_oil_is_buffed_in_its_window_and_the_piece_turned_after_a_cure(tmp_path: Path) -> None:
    """Common practice: 10 min dwell, buffed within 20 more; the underside hardens a day before it is turned."""
    written(tmp_path, JOBS[0], area=1.2)
    plan = OpenShop(tmp_path, NOW).plan(effort=0)
    rows = {step.step: step for step in plan.steps if step.part == "finish-hardwax-oil"}
    for side in ("under", "top"):
        oil, buff = rows[f"{side}-oil"], rows[f"{side}-buff"]
        assert dt.timedelta(minutes=10) <= buff.start - oil.end <= dt.timedelta(minutes=30)
    assert rows["turn"].start - rows["under-buff"].end >= dt.timedelta(hours=24)
    assert rows["turn"].people == ("maker", "sam")
    assert rows["top-oil"].start >= rows["turn"].end


@pytest.mark.parametrize("chosen", JOBS, ids="+".join)
def test_in_a_plan_that_keeps_its_promise_nothing_is_later_than_the_latest(
    tmp_path: Path, chosen: list[str]
) -> None:
    job = written(tmp_path, chosen)
    path = tmp_path / "jobs" / "piece.toml"
    path.unlink()
    write_job(path, job.model_copy(update={"promise": dt.date(2027, 6, 30)}))
    shop = OpenShop(tmp_path, NOW)
    plan = shop.plan(effort=0)
    assert plan.late == 0
    latest = shop.scheduler(plan).latest
    for step in plan.steps:
        start, complete = latest.start(step), latest.complete(step)
        assert start is not None
        assert complete is not None
        assert step.start <= start
        assert step.complete <= complete
