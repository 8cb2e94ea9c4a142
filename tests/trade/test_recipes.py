"""Parts from recipes: the sums a maker would make, the reasons shown, and files anybody can change."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from shopday.shop.faults import ShopdayError, ShopFaults
from shopday.shop.loading.toml_positions import TomlPositions
from shopday.shop.materials.cautions import DEFER, HEAVY
from shopday.shop.materials.material_book import LABEL_RULES, builtin_materials
from shopday.shop.models import Shop, Step
from shopday.shop.recipes.recipe_files import parsed_recipe
from shopday.shop.recipes.recipe_library import (
    MadePart,
    Recipe,
    choices,
    joined,
    make_part,
    recipe_faults,
    recipes,
)

BOOK = builtin_materials()
BUILT_IN = recipes()
STATIONS = ["bench", "cure-shelf", "finish-corner", "planer", "router-table", "sanding-table", "table-saw"]
SHOP = Shop.model_validate(
    {
        "name": "Trial",
        "timezone": "UTC",
        "people": [{"id": "maker"}, {"id": "sam", "role": "helper"}],
        "stations": [{"id": name} for name in STATIONS],
        "gear": [
            {"id": "long-clamps", "count": 12},
            {"id": "short-clamps", "count": 12},
            {"id": "cauls", "count": 4},
        ],
    }
)
BARE = Shop(name="Bare", timezone="UTC")


def made(recipe: str, shop: Shop = SHOP, /, **values: Any) -> MadePart:
    return make_part(BUILT_IN[recipe], "part", values, shop, BOOK)


def steps(part: MadePart) -> dict[str, Step]:
    return {step.id: step for step in part.part.steps}


def own(text: str) -> Recipe:
    return parsed_recipe("own", TomlPositions("recipes/own.toml", text, tomllib.loads(text)), own=True)


def test_every_kind_of_piece_has_a_recipe() -> None:
    pieces = "panel-top resin-top leg-apron-base outside-base case-piece doors drawers chairs bench-shelf"
    assert set(pieces.split()) <= set(BUILT_IN)


@pytest.mark.parametrize("kind", ["finish", "colour", "resin", "glue", "filler"])
def test_every_material_is_accepted_by_a_recipe(kind: str) -> None:
    """Contact and instant glue have no open time, so no glue-up takes them."""
    accepted = {
        id
        for recipe in BUILT_IN.values()
        for p in recipe.parameters
        if p.kind == kind
        for id in choices(p, BOOK, SHOP)
    }
    known = {id for id, material in BOOK.items() if material.kind == kind}
    assert known - accepted <= {"contact-cement", "ca-glue"}


@pytest.mark.parametrize("shop", [SHOP, BARE], ids=["shop", "bare"])
@pytest.mark.parametrize("name", BUILT_IN)
def test_every_recipe_makes_a_part_anywhere(name: str, shop: Shop) -> None:
    """With least, default and most of everything; steps name only what the shop has."""
    recipe, have = BUILT_IN[name], {*(s.id for s in shop.stations), *(g.id for g in shop.gear)}
    for pick in ("least", "default", "most"):
        values = {p.id: getattr(p, pick) for p in recipe.parameters if p.kind == "number"}
        part = make_part(recipe, "part", values, shop, BOOK).part
        assert part.steps
        for step in part.steps:
            assert {*step.stations, *step.gear} <= have
            assert step.away or step.hands_on > 0
            assert step.hands <= len(shop.people)


@pytest.mark.parametrize("name", BUILT_IN)
def test_every_choice_can_be_made(name: str) -> None:
    recipe = BUILT_IN[name]
    for parameter in recipe.parameters:
        for choice in choices(parameter, BOOK, SHOP):
            assert make_part(recipe, "part", {parameter.id: choice}, SHOP, BOOK).part.steps


# ---------------------------------------------------------------- sums (common practice unless named)


def test_the_deepest_layer_gives_the_number_of_pours() -> None:
    """Pours = depth / deepest layer, rounded up; poured until voids stand proud and often again: common practice."""
    deep = {"thickness": 60, "depth": 60}
    part = steps(made("resin-top", **deep, resin="casting-resin"))
    assert [id for id in part if id.startswith("pour")] == ["pour-1", "pour-2", "pour"]
    assert (part["pour-1"].another_pass, part["pour"].another_pass) == (0, 0.4)
    slow = steps(made("resin-top", **deep, resin="slow-casting-resin"))
    assert [id for id in slow if id.startswith("pour")] == ["pour-1", "pour"]
    assert any(
        "60 mm" in reason and "pours: 3, 20 mm" in reason for reason in made("resin-top", **deep).reasons
    )


def test_the_largest_mix_gives_the_number_of_pours() -> None:
    """40 dm2 of 25 mm are 10 l and a tenth to waste: at most 10 l at once (from memory of data sheets), so two pours."""
    part = steps(made("resin-top", depth=25, voids=40))
    assert [id for id in part if id.startswith("pour")] == ["pour-1", "pour"]


def test_resin_has_its_volume_and_a_tenth_of_waste() -> None:
    """10 dm2 by 50 mm are 5 l, and 6 ml a dm2 seal them (about 0.3 mm on floor and walls, from memory)."""
    (mix,) = made("resin-top", thickness=50, depth=50, voids=10).mix
    assert mix.millilitres == pytest.approx((10 * 0.5 * 1000 + 10 * 6) * 1.1, rel=0.01)


def test_spacing_and_width_give_the_number_of_clamps() -> None:
    """45 degrees: boards of 120 mm want a clamp every 240 mm, so 8 over 1800 mm (published: every 6-12 in)."""
    assert steps(made("panel-top", width=840, boards=7))["glue"].gear["long-clamps"] == 8


def test_too_few_clamps_are_reported_and_not_planned() -> None:
    few = SHOP.model_copy(update={"gear": tuple(g.model_copy(update={"count": 4}) for g in SHOP.gear)})
    part = made("panel-top", few, width=840)
    assert steps(part)["glue"].gear["long-clamps"] == 4
    assert any("wants 8 long clamps and the shop has 4" in caution for caution in part.cautions)


def test_a_glue_up_longer_than_the_open_time_is_done_in_stages() -> None:
    """Twelve boards of 2.4 m, 1.7 min a joint: yellow glue wants pressure within 10-15 min (12 here), so 7 joints at
    once and two stages; makers do two or three. Slower glues are named with what they need."""
    size = {"boards": 12, "length": 2400}
    quick = made("panel-top", **size, glue="yellow-pva")
    assert steps(quick)["glue-first"].passes == 1
    assert any("2 stages" in reason and "Epoxy glue 1" in reason for reason in quick.reasons)
    assert "glue-first" not in steps(made("panel-top", **size, glue="urea-formaldehyde"))


def test_over_23_kg_or_2400_mm_a_second_person_is_planned() -> None:
    """NIOSH 1991 load constant 23 kg; the length is common practice. White oak 762 kg/m3 (Wood Handbook, memory)."""
    light = {"length": 1000, "width": 500, "thickness": 30, "species": "white-oak"}  # 11.4 kg
    heavy = {**light, "thickness": 62}  # 23.6 kg
    long = {**light, "length": 2401, "width": 100, "boards": 2}
    assert "turn" not in steps(made("panel-top", **light))
    assert steps(made("panel-top", **heavy))["turn"].hands == 2
    assert steps(made("panel-top", **long))["turn"].hands == 2


def test_a_lone_maker_is_told_of_the_second_person_that_cannot_be_planned() -> None:
    alone = SHOP.model_copy(update={"people": SHOP.people[:1]})
    part = made("panel-top", alone, thickness=80)
    assert {step.hands for step in part.part.steps} == {1}
    assert any("other end" in caution for caution in part.cautions)
    assert HEAVY not in part.cautions


def test_hands_on_grows_with_boards_and_area() -> None:
    few, many = steps(made("panel-top", boards=3)), steps(made("panel-top", boards=9))
    assert many["mill"].hands_on - few["mill"].hands_on == pytest.approx(6 * 12, abs=5)
    assert steps(made("panel-top", width=1800))["sand"].hands_on > few["sand"].hands_on


def test_panels_and_boards_rest() -> None:
    """Machine to glue-up within 24 h (Wood Handbook, memory); edge-glued panels rest about 7 days (Wengert)."""
    part = steps(made("panel-top", rest=7, acclimate=14))
    assert sum(wait.takes for wait in part["glue"].waits or () if not wait.informs) == 7 * 1440
    assert sum(wait.takes for wait in part["acclimate"].waits or ()) == 14 * 1440
    first = part.get("glue-first", part["glue"])
    assert first.within == 24 * 60
    assert "acclimate" not in steps(made("panel-top", acclimate=0))


def test_movement_leaves_play_for_the_base() -> None:
    """Wood Handbook ch. 13 and eq. 4-5: red alder 203 mm wide, 30 to 80 % air at 21 C: 6.2 to 16.0 % moisture."""
    part = made("leg-apron-base", species="red-alder", top_width=203, dry=30, damp=80)
    assert any("moves about 5.2 mm" in reason for reason in part.reasons)  # 203 x 0.0026 x 9.8


def test_underside_first_left_to_cure_turned_then_the_top() -> None:
    """Common practice. The order of the steps, and a full hardening before the piece is turned over."""
    part = made("finish-hardwax-oil", area=1.2)
    names = [step.id for step in part.part.steps]
    assert names == ["dust-off", "under-oil", "under-buff", "turn", "top-oil", "top-buff"]
    buff = steps(part)["under-buff"]
    assert buff.waits is None
    assert buff.material == "hardwax-oil"


def test_oil_stands_about_ten_minutes_and_is_buffed_in_time() -> None:
    """Common practice: dwells about 10 min, then buffed within 15-30 min; a window that cannot be missed."""
    part = steps(made("finish-hardwax-oil", area=1.2))
    (dwell,) = part["top-oil"].waits or ()
    assert 10 <= dwell.takes <= 15
    assert 15 <= (part["top-buff"].within or 0) <= 30
    assert part["top-buff"].missed is None


def test_oil_is_mixed_three_to_one_for_the_area() -> None:
    """Common practice 3:1. Two sides of 3 m2 at 30 m2 a litre and a tenth to waste: 220 ml, in three fields a side."""
    (mix,) = made("finish-hardwax-oil", area=3).mix
    assert mix.millilitres == pytest.approx(220, abs=20)
    assert all(oil == 3 * hardener for (oil, hardener), _ in mix.portions)


@pytest.mark.parametrize("name", ["oil-varnish", "waterborne-varnish", "shellac", "lacquer"])
def test_the_last_coat_hardens_before_it_is_handled(name: str) -> None:
    part = steps(made(f"finish-{name}", coats=3, under_coats=2))
    for last, earlier in ((part["under"], part["under-1"]), (part["top"], part["top-2"])):
        assert sum(wait.takes for wait in last.waits or () if not wait.informs) == BOOK[name].handle
        assert (earlier.waits, earlier.material) == (None, name)


def test_one_side_one_coat() -> None:
    part = steps(made("finish-shellac", sides=1, coats=1))
    assert list(part) == ["dust-off", "top"]
    assert part["top"].within is None


def test_work_outside_is_away_for_its_workdays() -> None:
    away = steps(made("outside-base", days=15))["made"].away
    assert away is not None
    assert away.takes == ("workdays", 15)


# ---------------------------------------------------------------- roles, reasons, cautions


def test_roles_find_what_the_shop_calls_otherwise() -> None:
    shop = BARE.model_copy(
        update={"stations": Shop.model_validate(
            {"name": "", "timezone": "UTC", "stations": [{"id": "thicknesser", "name": "Big planer"}, {"id": "oak-bench"}]}
        ).stations}
    )  # fmt: skip
    part = steps(made("panel-top", shop))
    assert part["mill"].stations == ("thicknesser",)
    assert part["sand"].stations == ("oak-bench",)


def test_things_that_the_shop_lacks_are_reported() -> None:
    assert any("lists no planer" in reason for reason in made("panel-top", BARE).reasons)


def test_the_label_rules_and_cautions_defer() -> None:
    part = made("finish-drying-oil")
    assert LABEL_RULES in part.reasons
    assert part.cautions[-1] == DEFER
    assert any("closed metal can" in caution for caution in part.cautions)


@pytest.mark.parametrize(
    ("recipe", "step"),
    [*((f"finish-{name}", "top") for name in ("drying-oil", "oil-varnish", "waterborne-varnish", "uv-oil")),
     ("finish-hardwax-oil", "top-fields"), ("finish-flood-resin", "flood")],
)  # fmt: skip
def test_a_finish_that_food_touches_says_what_that_takes(recipe: str, step: str) -> None:
    """Common practice: what the label allows for it, fully cured; nut oils can harm."""
    assert "food" in steps(made(recipe, food=1))[step].minds
    assert any("those allergic" in caution for caution in made(recipe, food=1).cautions)
    assert not any("allergic" in caution for caution in made(recipe).cautions)


def test_shellac_clouds_below_the_dew_point() -> None:
    """Magnus: at 20 C and 60 % the dew point is 12.0 C (published example)."""
    assert any("colder than 12 C" in reason for reason in made("finish-shellac", humidity=60).reasons)


def test_numbers_are_read_as_people_type_them() -> None:
    assert made("finish-shellac", area="2,5").part == made("finish-shellac", area=2.5).part


# ---------------------------------------------------------------- values out of reach, bad recipes


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"boards": 0}, "Boards: 0 is out of reach; give 2 to 40"),
        ({"boards": "many"}, "not a number"),
        ({"boards": float("nan")}, "out of reach"),
        ({"species": "wallnut"}, "did you mean `walnut`"),
        ({"plancks": 3}, "has no `plancks`"),
    ],
)
def test_values_out_of_range_are_refused(values: dict[str, float | str], said: str) -> None:
    with pytest.raises(ShopdayError, match=".*".join(said.split("; "))):
        made("panel-top", **values)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[[steps]]\nid = "a"\nhands_on = "10m * boards"', "boards"),
        ('[[steps]]\nid = "a"\nhands_on = "1h"\n[[steps]]\nid = "a"\nhands_on = "1h"', "two steps"),
        ('[[steps]]\nid = "a"\nhands_on = "1h"\ncolour = "red"', "colour"),
        ('[[steps]]\nid = "a"\nhands_on = "1h"\nmaterial = "treacle"', "treacle"),
        ('[[steps]]\nid = "A b"\nhands_on = "1h"', "A b"),
        ('[[steps]]\nid = "a"\nhands_on = "1000d * 10"', "ten years"),
        ('[[steps]]\nid = "a"\nhands = 3\nhands_on = "1h"', "hands"),
    ],
)
def test_a_recipe_that_cannot_be_made_says_where(text: str, said: str) -> None:
    with pytest.raises(ShopdayError, match=said):
        make_part(own(f'name = "Own"\n{text}'), "part", {}, SHOP, BOOK)


def test_a_part_needs_a_name_of_its_kind() -> None:
    with pytest.raises(ShopdayError, match="cannot name a part"):
        make_part(BUILT_IN["doors"], "Left Door", {}, SHOP, BOOK)


# ---------------------------------------------------------------- a shop's own recipes


def test_own_recipes_stand_first_and_replace_built_in_ones(tmp_path: Path) -> None:
    folder = tmp_path / "recipes"
    folder.mkdir()
    text = 'name = "Our doors"\n[[steps]]\nid = "make"\nhands_on = "3h"\n'
    (folder / "doors.toml").write_text(text, encoding="utf-8")
    (folder / "stool.toml").write_text(text, encoding="utf-8")
    found = recipes(tmp_path)
    assert list(found)[:2] == ["doors", "stool"]
    assert found["doors"].own
    assert found["doors"].name == "Our doors"
    assert len(found) == len(BUILT_IN) + 1


def test_faults_of_every_recipe_file_are_reported(tmp_path: Path) -> None:
    folder = tmp_path / "recipes"
    folder.mkdir()
    (folder / "one.toml").write_text('nam = "One"\n', encoding="utf-8")
    (folder / "two.toml").write_text("= 3", encoding="utf-8")
    with pytest.raises(ShopFaults) as caught:
        recipes(tmp_path)
    assert {fault.file for fault in caught.value.faults} == {"recipes/one.toml", "recipes/two.toml"}


def test_a_recipe_that_makes_nothing_is_a_fault_of_its_file(tmp_path: Path) -> None:
    folder = tmp_path / "recipes"
    folder.mkdir()
    (folder / "good.toml").write_text('name = "G"\n[[steps]]\nid = "a"\nhands_on = "1h"\n', encoding="utf-8")
    (folder / "odd.toml").write_text(
        'name = "O"\n[[steps]]\nid = "a"\nhands_on = "1h * odd"\n', encoding="utf-8"
    )
    (fault,) = recipe_faults(tmp_path, SHOP, BOOK)
    assert fault.file == "recipes/odd.toml"
    assert "no parameter or value `odd`" in str(fault)
    (folder / "bad.toml").write_text("name =", encoding="utf-8")
    assert [fault.file for fault in recipe_faults(tmp_path, SHOP, BOOK)] == ["recipes/bad.toml"]


def test_a_finish_waits_for_the_pieces_since_the_finish_before() -> None:
    chosen = [
        "panel-top",
        "doors",
        "finish-shellac",
        "chairs",
        "finish-lacquer",
        "finish-drying-oil",
        "drawers",
    ]
    made_parts = [(BUILT_IN[name], make_part(BUILT_IN[name], name, {}, SHOP, BOOK)) for name in chosen]
    after = {part.id: [a.step for a in part.steps[0].after or ()] for part in joined(made_parts)}
    assert after["finish-shellac"] == ["panel-top/sand", "doors/hang"]
    assert after["finish-lacquer"] == ["chairs/sand"]
    assert after["finish-drying-oil"] == ["finish-lacquer/top"]
    assert [after[name] for name in ("panel-top", "doors", "chairs", "drawers")] == [[], [], [], []]
