"""The book's defaults against published ranges and common practice, and a shop's own labels over them."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from shopday.shop.materials.material_book import FULL_CURE, NOTED, builtin_materials, merged_materials
from shopday.shop.models import Material

BOOK = builtin_materials()
HOUR, DAY = 60, 1440

IDS = [
    "white-pva",
    "yellow-pva",
    "d3-pva",
    "urea-formaldehyde",
    "liquid-hide",
    "polyurethane-glue",
    "epoxy-glue",
    "tabletop-resin",
    "casting-resin",
    "slow-casting-resin",
    "hardwax-oil",
    "drying-oil",
    "oil-varnish",
    "waterborne-varnish",
    "shellac",
    "lacquer",
    "d4-pva",
    "hot-hide",
    "resorcinol",
    "contact-cement",
    "ca-glue",
    "flood-resin",
    "wiping-varnish",
    "raw-linseed",
    "tung-oil",
    "hard-wax",
    "soap",
    "milk-paint",
    "paint",
    "french-polish",
    "precat-lacquer",
    "conversion-varnish",
    "two-part-polyurethane",
    "stain",
    "grain-filler",
    "uv-oil",
    "polyester-filler",
    "wood-filler",
]


def working(material: Material) -> int:
    return sum(wait.takes for wait in material.waits if not wait.informs)


def still(material: Material) -> int:
    return sum(wait.takes for wait in material.waits if wait.still_air)


def test_every_generic_material_is_in_the_book() -> None:
    assert sorted(BOOK) == sorted(IDS)


@pytest.mark.parametrize("material", BOOK.values(), ids=list(BOOK))
def test_every_value_has_its_source(material: Material) -> None:
    written = material.model_fields_set - {"id", "name", "kind", "sources"}
    assert written == material.sources.keys()
    known = ("published", "common practice", "from memory")
    assert all(source.startswith(known) for source in material.sources.values())


# Published: Navy training text NAVEDTRA 14119 and magazine tables; common practice for polyurethane and epoxy.
GLUES = [
    ("white-pva", (5, 5), (1 * HOUR, 1 * HOUR)),
    ("yellow-pva", (5, 5), (30, 30)),
    ("d3-pva", (5, 10), (1 * HOUR, 1 * HOUR)),
    ("urea-formaldehyde", (20, 20), (12 * HOUR, 12 * HOUR)),
    ("liquid-hide", (10, 10), (12 * HOUR, 12 * HOUR)),
    ("polyurethane-glue", (15, 20), (1 * HOUR, 4 * HOUR)),
    ("epoxy-glue", (5, 60), (6 * HOUR, 24 * HOUR)),
]


@pytest.mark.parametrize(("name", "opening", "clamped"), GLUES)
def test_glues_have_their_published_values(
    name: str, opening: tuple[int, int], clamped: tuple[int, int]
) -> None:
    """All of them want 24 h before machining or stress, and the clamps stay on for the first wait alone."""
    glue = BOOK[name]
    clamps, *rest = glue.waits
    assert opening[0] <= (glue.open_time or 0) <= opening[1]
    assert clamps.name == "in clamps"
    assert clamped[0] <= clamps.takes <= clamped[1]
    assert clamps.spread == (None if clamped[0] == clamped[1] else clamped)
    assert clamps.keeps == "all"
    assert not any(wait.keeps for wait in rest)
    assert working(glue) == 24 * HOUR
    assert all(wait.cures for wait in glue.waits)


def test_yellow_glue_allows_light_work_after_four_hours() -> None:
    """Common practice: 4 h light work, 24 h full."""
    first, second, _ = BOOK["yellow-pva"].waits
    assert (second.name, first.takes + second.takes) == ("rests", 4 * HOUR)


@pytest.mark.parametrize(
    ("name", "celsius"), [("white-pva", 13), ("yellow-pva", 10), ("urea-formaldehyde", 21)]
)
def test_lowest_temperatures_are_those_published(name: str, celsius: float) -> None:
    """Published: white glue chalks below 55 F, yellow at about 4 C (10 C by default), urea is rated at 70 F."""
    assert BOOK[name].lowest == celsius


# Published ranges: layer in mm, cure of a layer.
RESINS = [
    ("tabletop-resin", (3, 6), (24 * HOUR, 72 * HOUR)),
    ("casting-resin", (25, 50), (72 * HOUR, 96 * HOUR)),
    ("slow-casting-resin", (50, 100), (5 * DAY, 7 * DAY)),
]


@pytest.mark.parametrize(("name", "layer", "cure"), RESINS)
def test_resins_have_their_published_values(name: str, layer: tuple[int, int], cure: tuple[int, int]) -> None:
    resin = BOOK[name]
    assert layer[0] <= (resin.deepest_layer_mm or 0) <= layer[1]
    assert cure[0] <= working(resin) <= cure[1]
    spreads = [wait.spread or (wait.takes, wait.takes) for wait in resin.waits if not wait.informs]
    assert sum(longest for _, longest in spreads[1:]) + spreads[0][0] == pytest.approx(cure[1], abs=4 * HOUR)


@pytest.mark.parametrize(
    ("name", "gel", "dust_free"),
    [
        ("tabletop-resin", (4, 12), (8, 12)),
        ("casting-resin", (4, 12), (12, 24)),
        ("slow-casting-resin", (4, 12), (24, 36)),
        ("flood-resin", (4, 12), (8, 12)),
    ],
)
def test_resin_wants_still_air_until_it_is_dust_free(
    name: str, gel: tuple[int, int], dust_free: tuple[int, int]
) -> None:
    """Hours. Common practice: firm gel after 4-12 h; from memory of data sheets: dust-free."""
    resin = BOOK[name]
    assert resin.waits[0].name == "firm gel"
    assert gel[0] * HOUR <= resin.waits[0].takes <= gel[1] * HOUR
    assert dust_free[0] * HOUR <= still(resin) <= dust_free[1] * HOUR < working(resin)


def test_waterborne_varnish_dries_in_two_to_four_hours() -> None:
    """Published: 2-4 h between coats, of which 2 h are off dust."""
    off_dust, dries, *_ = BOOK["waterborne-varnish"].waits
    assert off_dust.spread is None
    assert dries.spread == (2 * HOUR - off_dust.takes, 4 * HOUR - off_dust.takes)


# Before the next coat, still air while wet (common practice), before handling, full cure (published or common).
FINISHES = [
    ("hardwax-oil", (24 * HOUR, 24 * HOUR), (4 * HOUR, 4 * HOUR), (24 * HOUR, 36 * HOUR), (7 * DAY, 7 * DAY)),
    ("drying-oil", (24 * HOUR, 24 * HOUR), (0, 0), (24 * HOUR, 30 * DAY), (7 * DAY, 30 * DAY)),
    ("oil-varnish", (24 * HOUR, 24 * HOUR), (6 * HOUR, 8 * HOUR), (3 * DAY, 3 * DAY), (30 * DAY, 30 * DAY)),
    ("waterborne-varnish", (2 * HOUR, 4 * HOUR), (2 * HOUR, 2 * HOUR), (DAY, DAY), (20 * DAY, 20 * DAY)),
    ("shellac", (30, 2 * HOUR), (30, 30), (12 * HOUR, 12 * HOUR), (2 * DAY, 14 * DAY)),
    ("lacquer", (30, 30), (30, 30), (DAY, DAY), (7 * DAY, 7 * DAY)),
]


@pytest.mark.parametrize(("name", "recoat", "calm", "handle", "full"), FINISHES)
def test_finishes_have_their_published_values(
    name: str, recoat: tuple[int, int], calm: tuple[int, int], handle: tuple[int, int], full: tuple[int, int]
) -> None:
    finish = BOOK[name]
    assert recoat[0] <= working(finish) <= recoat[1]
    assert calm[0] <= still(finish) <= calm[1]
    assert handle[0] <= (finish.handle or 0) <= handle[1]
    assert full[0] <= (finish.full_cure or 0) <= full[1]


@pytest.mark.parametrize(
    ("name", "since_coat"), [("oil-varnish", 72 * HOUR), ("waterborne-varnish", 24 * HOUR)]
)
def test_recoat_windows_count_from_the_coat(name: str, since_coat: int) -> None:
    """Published: scuff first after about 72 h (oil varnish) and 24 h (waterborne)."""
    finish = BOOK[name]
    assert working(finish) + (finish.within or 0) == since_coat
    assert finish.missed is not None
    assert "scuff" in finish.missed.why


def test_hardwax_oil_by_common_practice() -> None:
    """Common practice: 3 parts oil to 1 part hardener, dwells about 10 min (10-15), buffed within 15-30 min."""
    oil = BOOK["hardwax-oil"]
    assert oil.mix == "3:1"
    assert 10 <= (oil.dwell or 0) <= 15
    assert 15 <= (oil.buff_within or 0) <= 30
    assert oil.sources["mix"].startswith("common practice")
    assert oil.sources["dwell"].startswith("common practice")


def test_drying_oil_dwell() -> None:
    """Common practice: 10-30 min, then wiped dry."""
    assert 10 <= (BOOK["drying-oil"].dwell or 0) <= 30


@pytest.mark.parametrize("material", BOOK.values(), ids=list(BOOK))
def test_full_cure_informs_and_delays_nothing(material: Material) -> None:
    told = [wait for wait in material.waits if wait.informs]
    assert [wait.name for wait in told] == [FULL_CURE] * (len(told))
    if told:
        assert working(material) + told[0].takes == material.full_cure


def test_rags_of_drying_oils_are_marked() -> None:
    """Published: OSHA 29 CFR 1910.106 and 1910.125."""
    assert {key for key, entry in BOOK.items() if entry.oily_rags} == {
        "hardwax-oil",
        "drying-oil",
        "oil-varnish",
        "wiping-varnish",
        "raw-linseed",
        "tung-oil",
        "stain",
    }


@pytest.mark.parametrize(
    "name",
    [
        "polyurethane-glue",
        "epoxy-glue",
        "tabletop-resin",
        "casting-resin",
        "slow-casting-resin",
        "flood-resin",
        "hardwax-oil",
        "d4-pva",
        "two-part-polyurethane",
        "waterborne-varnish",
    ],
)
def test_sensitisers_have_a_caution(name: str) -> None:
    assert any("sensitise" in caution and "its maker names" in caution for caution in BOOK[name].cautions)


# ---------------------------------------------------------------- a shop's own labels


def test_a_label_overrides_one_field_and_keeps_the_rest() -> None:
    book = merged_materials(BOOK, {"yellow-pva": {"open_time": "8m"}})
    assert book["yellow-pva"].open_time == 8
    assert book["yellow-pva"].waits == BOOK["yellow-pva"].waits
    assert book["yellow-pva"].sources["open_time"] == NOTED
    assert book["white-pva"] == BOOK["white-pva"]


def test_a_product_can_be_like_another() -> None:
    book = merged_materials(
        BOOK, {"our-oil": {"like": "hardwax-oil", "name": "Ours", "mix": "10:1", "full_cure": "3d"}}
    )
    ours = book["our-oil"]
    assert (ours.id, ours.kind, ours.mix, ours.dwell) == (
        "our-oil",
        "finish",
        "10:1",
        BOOK["hardwax-oil"].dwell,
    )
    assert ours.waits[-1].takes == 3 * DAY - working(ours)
    assert ours.sources["mix"] == NOTED


def test_a_shop_can_add_a_material() -> None:
    book = merged_materials(
        BOOK, {"fish-glue": {"kind": "glue", "open_time": "12m", "sources": {"open_time": "label"}}}
    )
    assert book["fish-glue"].sources == {"open_time": "label"}


def test_every_fault_is_reported_at_once() -> None:
    with pytest.raises(ValidationError) as caught:
        merged_materials(BOOK, {"white-pva": {"open_time": "soon", "colour": "white"}, "other": {"mix": 3}})
    assert {error["loc"][:2] for error in caught.value.errors()} == {
        ("white-pva", "open_time"),
        ("white-pva", "colour"),
        ("other", "mix"),
    }


def test_like_an_unknown_material_is_a_fault() -> None:
    with pytest.raises(ValidationError, match="did you mean `hardwax-oil`"):
        merged_materials(BOOK, {"ours": {"like": "hardwax-oli"}})
