"""Every number of the recipes' steps: gear, amounts, waits, windows, passes, worked out by hand from common practice."""

from __future__ import annotations

from typing import Any

import pytest
from test_numbers_of_recipes import values_of
from test_recipes import BOOK, BUILT_IN, SHOP, made, steps

from shopday.shop.materials.material_book import merged_materials
from shopday.shop.models import Step
from shopday.shop.recipes.recipe_library import make_part

RICH = SHOP.model_copy(update={"gear": tuple(gear.model_copy(update={"count": 60}) for gear in SHOP.gear)})
"""Has gear enough, so that what a recipe wants is seen."""


GEAR: list[tuple[str, str, str, dict[str, int]]] = [
    ("panel-top", "", "glue", {"long-clamps": 7, "cauls": 4}),
    ("panel-top", "ends=2", "breadboard", {"long-clamps": 4}),
    ("doors", "doors=3", "glue", {"short-clamps": 8}),
    ("drawers", "drawers=3", "glue", {"short-clamps": 8}),
    ("refinishing", "loose=6", "glue", {"short-clamps": 8}),
    ("refinishing", "loose=2", "glue", {"short-clamps": 4}),
    ("chairs", "chairs=9", "glue-sides", {"short-clamps": 20}),  # five at once at most
    ("chairs", "chairs=9", "glue", {"long-clamps": 20}),
    ("case-piece", "", "panels-1", {"long-clamps": 20}),  # four panels at once, five clamps each
    ("chairs", "", "glue-sides", {"short-clamps": 4}),
    ("leg-apron-base", "", "glue", {"long-clamps": 4}),
    ("leg-apron-base", "joints=32", "glue", {"long-clamps": 6}),
    ("leg-apron-base", "joints=32", "glue-ends", {"short-clamps": 6}),
    ("leg-apron-base", "joints=2", "glue", {"long-clamps": 2}),
    ("leg-apron-base", "joints=2", "glue-ends", {"short-clamps": 2}),
    ("bench-shelf", "", "glue", {"short-clamps": 4}),
    ("chairs", "", "glue", {"long-clamps": 4}),
]


@pytest.mark.parametrize(("recipe", "values", "step", "gear"), GEAR)
def test_clamps_that_are_wanted(recipe: str, values: str, step: str, gear: dict[str, int]) -> None:
    """Common practice: two panels, doors or drawers at a time; cauls across, two at each end."""
    assert dict(steps(made(recipe, RICH, **values_of(values)))[step].gear) == gear


AMOUNTS = [
    # 0.015 m2 of joints a chair or a drawer at 4 m2 a litre, a tenth to waste: 4.1 ml; two drawers 8.3.
    ("chairs", "glue=epoxy-glue", "glue-sides", 5),
    ("chairs", "glue=epoxy-glue", "glue", 5),
    ("chairs", "chairs=9 glue=epoxy-glue", "glue-sides", 15),  # three rounds of three: 12.4
    ("chairs", "chairs=9 glue=epoxy-glue", "glue", 15),
    ("drawers", "glue=epoxy-glue", "glue", 10),
    ("doors", "", "glue", 10),  # 0.04 m2 at 5 m2 a litre
    ("bench-shelf", "boards=12", "panel-first", 45),  # 5.5 joints of 1200 x 30 mm
    ("bench-shelf", "boards=12", "panel", 45),
    ("bench-shelf", "supports=8", "glue", 20),
    ("case-piece", "", "panels-1", 30),  # two panels of 0.06 m2
    ("case-piece", "joints=18", "glue-first", 40),  # nine of 450 x 20 mm, both faces
    ("case-piece", "joints=18", "glue", 40),
    ("panel-top", "length=2400 boards=12", "glue-first", 90),
    ("panel-top", "length=2400 boards=12", "glue", 90),
    ("panel-top", "ends=2", "breadboard", 5),
    ("leg-apron-base", "joints=32", "glue-ends", 5),
    ("leg-apron-base", "joints=32", "glue", 10),
    ("refinishing", "loose=8", "glue", 5),
    ("finish-stain", "sample=1", "sample", 5),
    ("finish-flood-resin", "area=1", "seal", 165),
    ("resin-top", "", "dam", 135),
    ("veneered-panel", "", "press", 400),
    ("finish-flood-resin", "area=1", "flood", 1760),  # 1.6 l a square metre (common practice)
    ("panel-top", "knots=20", "fill", 220),  # 10 ml a knot
    ("refinishing", "dents=20", "fill", 220),
    ("resin-top", "refill=1 depth=20 voids=10", "refill", 100),  # 50 ml and a fiftieth of 2 l
]


@pytest.mark.parametrize(("recipe", "values", "step", "millilitres"), AMOUNTS)
def test_what_a_pass_takes(recipe: str, values: str, step: str, millilitres: float) -> None:
    assert steps(made(recipe, **values_of(values)))[step].amount_ml == millilitres


def test_what_no_label_says_covers_as_usual() -> None:
    """Common practice: 10 square metres a litre, and a tenth to waste."""
    book = merged_materials(BOOK, {"ours": {"kind": "finish", "dwell": "10m", "buff_within": "20m"}})
    values: dict[str, float | str] = {"finish": "ours", "area": 1}
    part = make_part(BUILT_IN["finish-drying-oil"], "part", values, SHOP, book).part
    assert [step.amount_ml for step in part.steps if step.id == "top"] == [110]


# No coat over 4 h of one go, nor oil over 6 m2, nor stain over 12 (common practice).
SITTINGS = [
    ("finish-drying-oil", "area", 6, 7, "under top"),
    ("finish-stain", "area", 6, 6.1, "colour"),
]


@pytest.mark.parametrize(("recipe", "name", "one", "many", "ids"), SITTINGS)
def test_what_is_done_in_one_go(recipe: str, name: str, one: float, many: float, ids: str) -> None:
    for size, sitting in ((one, True), (many, False)):
        part = steps(made(recipe, **{name: size}))
        assert {part[id].one_sitting for id in ids.split()} == {sitting}


@pytest.mark.parametrize(
    ("recipe", "finish", "within"),
    [
        ("finish-oil-varnish", "oil-varnish", 48),  # published: scuffed after 72 h, of which it dries 24
        ("finish-waterborne-varnish", "waterborne-varnish", 21),  # published: after 24 h, of which it dries 3
        ("finish-lacquer", "precat-lacquer", 7),  # from memory of data sheets: within about a working day
    ],
)
def test_two_coats_keep_the_window_between_them(recipe: str, finish: str, within: int) -> None:
    """Within it a coat takes the next one as it is, or de-nibbed; after it, it is scuffed first: with the de-nibbing,
    where there is one, so that the dust is not made in still air."""
    for denib, after, free in (("every-coat", "denib", ""), ("never", "", "denib")):
        part = steps(made(recipe, finish=finish, coats=2, under_coats=2, denib=denib))
        for side in ("under", "top"):
            windowed = part[f"{side}-{after}" if after else side]
            assert (windowed.within, windowed.missed) == (60 * within, BOOK[finish].missed)
            assert windowed.dusty is (True if after else None)
            assert f"{side}-{free}" not in part
            assert part[f"{side}-1"].within is None
        assert (part["top"].within is None) is (after != "")
    one = steps(made(recipe, finish=finish, coats=1, under_coats=1))
    assert (one["under"].within, one["top"].within) == (None, None)


@pytest.mark.parametrize(
    ("denib", "there"),
    [
        ("every-coat", ["top-denib-1", "top-denib-2", "top-denib"]),
        ("before-the-last", ["top-denib"]),
        ("never", []),
    ],
)
@pytest.mark.parametrize("name", ["oil-varnish", "shellac", "lacquer", "waterborne-varnish"])
def test_coats_are_denibbed_as_often_as_asked(name: str, denib: str, there: list[str]) -> None:
    part = steps(made(f"finish-{name}", coats=4, under_coats=4, denib=denib))
    for side in ("under", "top"):
        ids = [id for id in part if id.startswith(side)]
        assert [id for id in ids if "denib" in id] == [id.replace("top", side) for id in there]
        for number, id in enumerate(ids):
            if "denib" in id:
                assert [after.step for after in part[id].after or ()] == [ids[number - 1]]
                assert [after.step for after in part[ids[number + 1]].after or ()] == [id]


@pytest.mark.parametrize(("denib", "times"), [("every-coat", 1), ("before-the-last", 1), ("never", 0)])
@pytest.mark.parametrize("name", ["oil-varnish", "shellac", "lacquer", "waterborne-varnish"])
def test_of_two_coats_the_second_is_denibbed_for(name: str, denib: str, times: int) -> None:
    part = made(f"finish-{name}", coats=2, under_coats=2, denib=denib)
    for side in ("under", "top"):
        assert sum(id.startswith(f"{side}-denib") for id in steps(part)) == times
    assert any("wiped, times: 1" in reason for reason in part.reasons) is (times == 1)


@pytest.mark.parametrize(
    ("recipe", "values", "step"),
    [("resin-top", "thickness=50 depth=50", "pour"), ("finish-flood-resin", "floods=2", "flood")],
)
def test_a_resin_that_gels_for_a_day_may_be_poured_on_for_an_hour(
    recipe: str, values: str, step: str
) -> None:
    gel = {"name": "firm gel", "takes": "24h"}
    book = merged_materials(BOOK, {"ours": {"like": "casting-resin", "waits": [gel], "coverage_m2_per_l": 1}})
    part = make_part(BUILT_IN[recipe], "part", {**values_of(values), "resin": "ours"}, SHOP, book).part
    assert [one.within or (one.after or [one])[0].within for one in part.steps if one.id == step] == [60]


@pytest.mark.parametrize(
    ("name", "usual"), [("oil-varnish", 2), ("waterborne-varnish", 3), ("shellac", 1), ("lacquer", 1)]
)
def test_brushed_coats_are_denibbed_each_and_those_that_melt_together_once(name: str, usual: int) -> None:
    """Common practice."""
    assert sum("top-denib" in id for id in steps(made(f"finish-{name}"))) == usual


@pytest.mark.parametrize(("minutes", "field"), [("60m", 1.25), ("6m", 0.2), ("17m", 1.0)])
def test_a_field_of_oil_is_what_can_be_buffed_in_time(minutes: str, field: float) -> None:
    """12 min a square metre, and 5 to spare; no field is over 1.25 m2 or under 0.2 (common practice)."""
    book = merged_materials(BOOK, {"ours": {"like": "hardwax-oil", "buff_within": minutes}})
    values: dict[str, float | str] = {"finish": "ours", "sides": 1, "area": 10}
    part = make_part(BUILT_IN["finish-hardwax-oil"], "part", values, SHOP, book).part
    assert sum(step.id.startswith("top-fields") for step in part.steps) == round(10 / field)


def one(recipe: str, step: str, **values: Any) -> Step:
    return steps(made(recipe, **values))[step]


def waits(step: Step) -> tuple[int, ...]:
    """Minutes of those that something waits for; none where the material's own hold."""
    return tuple(wait.takes for wait in step.waits or () if not wait.informs)


DAY, HOUR = 1440, 60
# Common practice: milled edges are glued within 24 h (from memory of the Wood Handbook), a scuff takes 20 to 30 min, and the
# waits are those the recipe asks for.
WAITED = [
    ("panel-top", "acclimate=7", "acclimate", (7 * DAY,)),
    ("panel-top", "", "rough-mill", (DAY,)),
    ("panel-top", "rest=3", "glue", (30, 210, 1200, 3 * DAY - 24 * HOUR)),
    ("case-piece", "rest=2", "panels", (12 * HOUR, 12 * HOUR, DAY)),
    ("doors", "", "glue", (60, 180)),  # an hour in clamps, light work after 4
    ("drawers", "", "glue", (120, 120)),
    ("leg-apron-base", "", "glue-ends", (120,)),
    ("finish-stain", "sample=3", "sample", (3 * DAY,)),
    ("resin-top", "", "stack", (14 * DAY,)),
    ("resin-top", "", "dam", (12 * HOUR,)),
    ("green-slab", "", "stack", (730 * DAY,)),  # a year an inch
    ("green-slab", "", "fetch", (7 * DAY,)),
    ("steam-bending", "", "bend", (7 * DAY,)),
    ("steam-bending", "", "dry", (7 * DAY,)),
]


@pytest.mark.parametrize(("recipe", "values", "step", "takes"), WAITED)
def test_waits_are_what_was_asked_for(recipe: str, values: str, step: str, takes: tuple[int, ...]) -> None:
    assert waits(one(recipe, step, **values_of(values))) == takes


WINDOWS = [
    ("bench-shelf", "", "panel", 24 * HOUR, 20),
    ("panel-top", "", "glue", 24 * HOUR, 30),
    ("panel-top", "length=2400 boards=12", "glue-first", 24 * HOUR, 30),
    ("case-piece", "", "panels-1", 24 * HOUR, 30),
    ("resin-top", "", "pour", 14 * HOUR, 20),  # up to a day after the pour before, which gels for 10 h
    ("finish-flood-resin", "floods=2", "flood", 19 * HOUR, 30),  # it gels for 5 h
    ("finish-flood-resin", "floods=2", "flood-1", 19 * HOUR, 30),
    ("resin-top", "", "leaks-first", 4 * HOUR, 60),
    ("resin-top", "depth=20", "leaks", 4 * HOUR, 60),
]


@pytest.mark.parametrize(("recipe", "values", "step", "within", "adds"), WINDOWS)
def test_windows_and_what_missing_them_adds(
    recipe: str, values: str, step: str, within: int, adds: int
) -> None:
    found = one(recipe, step, **values_of(values))
    assert found.missed is not None
    assert ((found.after or [found])[0].within or found.within, found.missed.adds) == (within, adds)


SPREADING = [
    ("bent-lamination", "", "glue", 17),  # 5 and 2 for each of six strips
    ("case-piece", "", "panels-1", 12),
    ("case-piece", "", "glue", 10),  # four pairs at 2.5 min
    ("case-piece", "joints=18", "glue-first", 12),
    ("case-piece", "joints=18", "glue", 12),
    ("chairs", "chairs=6", "glue-sides", 45),  # three chairs at 15 min
    ("chairs", "chairs=6", "glue", 45),
    ("leg-apron-base", "joints=32", "glue-ends", 11),  # 5.3 joints at 2 min
    ("leg-apron-base", "joints=32", "glue", 11),
    ("finish-hardwax-oil", "area=2.5 second=1", "under-fields", 25),
    ("finish-hardwax-oil", "area=2.5 second=1", "top-fields", 25),
    ("finish-hardwax-oil", "area=2.5 second=1", "second-fields", 25),
    ("finish-flood-resin", "", "seal", 15),
    ("finish-flood-resin", "", "flood", 15),
    ("panel-top", "ends=2", "breadboard", 4),
    ("refinishing", "", "glue", 3),
    ("resin-top", "", "dam", 15),
    ("resin-top", "", "pour", 45),  # 4.5 l at 10 min
    ("resin-top", "refill=1", "refill", 15),
    ("panel-top", "knots=20", "fill", 20),
    ("refinishing", "dents=20", "fill", 20),
]


@pytest.mark.parametrize(("recipe", "values", "step", "minutes"), SPREADING)
def test_a_mix_is_used_up_in_so_many_minutes(recipe: str, values: str, step: str, minutes: int) -> None:
    assert one(recipe, step, **values_of(values)).spreading == minutes


PASSES = [
    ("refinishing", "loose=5", "glue", 1, 0),
    ("refinishing", "", "patch", 1, 0.2),
    ("refinishing", "", "tone", 1, 0.3),
    ("resin-top", "", "pour", 1, 0.4),
]


@pytest.mark.parametrize(("recipe", "values", "step", "passes", "chance"), PASSES)
def test_passes_and_the_chance_of_another(
    recipe: str, values: str, step: str, passes: int, chance: float
) -> None:
    """Common practice: two doors or drawers in clamps at a time; a void found late, a patch or a tone that does not match."""
    found = one(recipe, step, **values_of(values))
    assert (found.passes, found.another_pass) == (passes, chance)


def test_what_else_a_step_has() -> None:
    """Common practice; wood under resin at 10 % at most, by the meter."""
    setup, moisture = one("panel-top", "mill").setup, one("resin-top", "flatten-first").moisture
    assert setup is not None
    assert moisture is not None
    assert (setup.what, setup.takes) == ("planer at 30 mm", 15)
    assert (moisture.least, moisture.most) == (4, 10)
    assert waits(one("refinishing", "strip", strip="stripped")) == (2 * DAY,)
    for recipe, step, spread in (("steam-bending", "dry", (5, 21)), ("green-slab", "stack", (360, 1090))):
        (dries,) = one(recipe, step).waits or ()
        assert dries.spread == tuple(days * DAY for days in spread)
    limits = one("green-slab", "sort").moisture
    assert limits is not None
    assert (limits.least, limits.most) == (4, 12)
    green, dry = (one("green-slab", step).lifts_kg or 0 for step in ("send", "fetch"))
    assert green == pytest.approx(1.6 * dry, abs=0.2)
    away = one("upholstered-seat", "fabric").away
    assert away is not None
    assert away.takes == ("minutes", 10 * DAY)
