"""The steps a maker does, in their order (common practice), and those a whole job has besides."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import pytest
from test_recipes import made, steps
from test_three_sets import shop_at
from test_whole_jobs import NOW, written

from shopday.app.forms.new_job_form import JobForm, PartForm, draft_job
from shopday.planning.open_shop import OpenShop
from shopday.shop.models import Job
from shopday.shop.recipes.recipe_library import recipes

ORDER: list[tuple[str, dict[str, Any], str]] = [
    # Milled oversize and stacked again before it is milled true; laid out dry; the second face after it was turned.
    ("panel-top", {"thickness": 60}, "rough-cut acclimate rough-mill mill dry-fit glue scrape flatten-first turn flatten-second sand"),
    ("panel-top", {"ends": 2, "knots": 3}, "flatten-first turn flatten-second shape breadboard fill fill-sand sand"),
    # Sealed, poured, looked at for leaks, unmoulded, and filled from the second face before the last flattening.
    ("resin-top", {"refill": 1}, "check flatten-first dam pour-1 pour leaks-first demould turn refill flatten shape sand"),
    ("resin-top", {"depth": 20, "voids": 5}, "dam pour leaks demould"),
    ("case-piece", {"joints": 30}, "mill panels flatten joinery dry-fit sand-inside glue-first glue back sand hardware"),
    ("cnc-parts", {}, "draw fixture sample run clean"),
    ("green-slab", {}, "stack measure send kiln fetch sort"),
    ("doors", {}, "mill joinery sand-panels dry-fit glue sand hang"),
    ("drawers", {}, "parts dovetails glue runners fit sand"),
    ("chairs", {}, "rough joinery shape dry-fit glue-sides glue sand seat"),
    # Checked bare before it is coated, a second time away, then fetched.
    ("outside-base", {"coat": 5}, "drawing made before-coat coated fetch check inserts dry-fit"),
    ("finish-waterborne-varnish", {"rubbed": 1}, "dust-off under-1 under-denib under turn top-1 top-denib top rub"),
    ("finish-uv-oil", {"coats": 3}, "dust-off under turn top-1 denib-1 top-2 denib top"),
    ("refinishing", {"dents": 3}, "clean patch glue fill fill-sand tone"),
    ("finish-shellac", {"rubbed": 1}, "dust-off under-1 under-denib under turn top-1 top-denib top rub"),
    ("finish-lacquer", {"rubbed": 1}, "top-denib top rub"),
    ("finish-oil-varnish", {"rubbed": 1}, "top-denib top rub"),
]  # fmt: skip


@pytest.mark.parametrize(("recipe", "values", "wanted"), ORDER)
def test_steps_come_in_a_makers_order(recipe: str, values: dict[str, Any], wanted: str) -> None:
    there = list(steps(made(recipe, **values)))
    assert [id for id in there if id in wanted.split()] == wanted.split()


@pytest.mark.parametrize(("depth", "look"), [(20, "leaks"), (75, "leaks-first")])
def test_a_pour_is_looked_at_for_leaks_within_four_hours(tmp_path: Path, depth: int, look: str) -> None:
    """Common practice: a dam that leaks shows it within 1 to 4 h; of several pours it is the first that finds it."""
    written(tmp_path, ["resin-top"], thickness=75, depth=depth, voids=10, acclimate=0)
    plan = OpenShop(tmp_path, NOW).plan(effort=0)
    rows = {step.step: step for step in plan.steps}
    first = rows["pour-1"] if depth == 75 else rows["pour"]
    assert (rows[look].start - first.end <= dt.timedelta(hours=4)) is not rows[look].missed
    assert rows["demould"].start >= rows[look].end


def test_the_second_fill_cures_before_it_is_flattened() -> None:
    part = steps(made("resin-top", refill=1))
    assert (part["refill"].material, part["refill"].still_air) == ("casting-resin", True)
    assert part["refill"].waits is None
    assert "refill" not in steps(made("resin-top"))


def drafted(folder: Path, recipe: str, **typed: str) -> Job:
    form = JobForm(title="Piece", parts=[PartForm(recipes()[recipe])], **typed)
    return draft_job(form, shop_at(folder).folder, NOW).job


@pytest.mark.parametrize(
    ("recipe", "typed", "whole"),
    [
        ("panel-top", {}, ["deliver"]),
        ("panel-top", {"assembly": "1h", "wrapping": "30m"}, ["assemble", "wrap", "deliver"]),
        ("case-piece", {}, ["deliver", "fix"]),
        ("case-piece", {"delivery": ""}, []),
        ("drawers", {"wrapping": "15m"}, ["wrap", "deliver", "fix"]),
    ],
)
def test_a_job_ends_with_wrapping_delivery_and_fixing_what_can_tip_over(
    tmp_path: Path, recipe: str, typed: dict[str, str], whole: list[str]
) -> None:
    """US 16 CFR 1261 (ASTM F2057): chests with drawers are fixed to the wall."""
    job = drafted(tmp_path, recipe, **typed)
    assert [step.id for step in job.steps] == whole
    minding = [step.id for step in job.steps if "tip-over" in step.minds]
    assert minding == [id for id in whole if id == "fix"]
