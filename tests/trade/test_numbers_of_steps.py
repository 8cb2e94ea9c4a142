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
    ("case-piece", "", "panels-1", {"long-clamps": 20}),  # four panels at once, five clamps each
    ("chairs", "", "glue-sides", {"short-clamps": 4}),
    ("leg-apron-base", "", "glue", {"long-clamps": 4}),
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
    ("leg-apron-base", "joints=32", "glue", 25),
    ("refinishing", "loose=8", "glue", 5),
    ("finish-stain", "sample=1", "sample", 5),
    ("finish-flood-resin", "area=1", "seal", 165),
    ("resin-top", "", "dam", 135),
    ("veneered-panel", "", "press", 400),
    ("finish-flood-resin", "area=1", "flood", 1760),  # 1.6 l a square metre (common practice)
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
    ("finish-oil-varnish", "area", 18, 20, "under under-last top top-last"),  # 20 + 12 x 18 = 236
    ("finish-waterborne-varnish", "area", 18, 20, "under under-last top top-last"),  # 15 + 12 x 18 = 231
    ("finish-shellac", "area", 23, 25, "under under-last top top-last"),  # 10 + 10 x 23 = 240
    ("finish-lacquer", "area", 28, 30, "under under-last top top-last"),  # 15 + 8 x 28 = 239
]


@pytest.mark.parametrize(("recipe", "name", "one", "many", "ids"), SITTINGS)
def test_what_is_done_in_one_go(recipe: str, name: str, one: float, many: float, ids: str) -> None:
    for size, sitting in ((one, True), (many, False)):
        part = steps(made(recipe, **{name: size}))
        assert {part[id].one_sitting for id in ids.split()} == {sitting}


def test_bending_is_done_in_one_go_up_to_four_hours() -> None:
    """60 mm steam for 144 min, and 10 min a piece: of six two more are made, 224 min; of eight two, 244."""
    assert steps(made("steam-bending", thickness=60, radius=600, pieces=6))["bend"].one_sitting
    assert not steps(made("steam-bending", thickness=60, radius=600, pieces=8))["bend"].one_sitting


@pytest.mark.parametrize(
    ("recipe", "finish", "within"),
    [
        ("finish-oil-varnish", "oil-varnish", 48),  # published: scuffed after 72 h, of which it dries 24
        ("finish-waterborne-varnish", "waterborne-varnish", 21),  # published: after 24 h, of which it dries 3
        ("finish-lacquer", "precat-lacquer", 7),  # from memory of data sheets: within about a working day
    ],
)
def test_two_coats_keep_the_window_between_them(recipe: str, finish: str, within: int) -> None:
    part = steps(made(recipe, finish=finish, coats=2, under_coats=2))
    assert [part[id].within for id in ("under-last", "top-last")] == [60 * within] * 2
    one = steps(made(recipe, finish=finish, coats=1, under_coats=1))
    assert [one[id].within for id in ("under-last", "top-last")] == [None, None]


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


@pytest.mark.parametrize("name", ["oil-varnish", "shellac", "lacquer", "waterborne-varnish"])
@pytest.mark.parametrize("step", ["under", "top"])
def test_a_coat_on_a_coat_is_denibbed_first(name: str, step: str) -> None:
    """Common practice: 5 min and 3 a square metre."""
    coat = one(f"finish-{name}", step, area=5, under_coats=3)
    assert coat.next_pass is not None
    assert coat.next_pass.extra == 20


SPREADING = [
    ("bent-lamination", "", "glue", 17),  # 5 and 2 for each of six strips
    ("case-piece", "", "panels-1", 12),
    ("leg-apron-base", "joints=32", "glue-ends", 11),  # 5.3 joints at 2 min
    ("leg-apron-base", "joints=32", "glue", 32),
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
]


@pytest.mark.parametrize(("recipe", "values", "step", "minutes"), SPREADING)
def test_a_mix_is_used_up_in_so_many_minutes(recipe: str, values: str, step: str, minutes: int) -> None:
    assert one(recipe, step, **values_of(values)).spreading == minutes


PASSES = [
    ("doors", "doors=3", "glue", 2, 0),
    ("drawers", "drawers=3", "glue", 2, 0),
    ("refinishing", "loose=1", "glue", 1, 0),
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
    (dries,) = one("steam-bending", "dry").waits or ()
    assert dries.spread == (5 * DAY, 21 * DAY)
    away = one("upholstered-seat", "fabric").away
    assert away is not None
    assert away.takes == ("minutes", 10 * DAY)
