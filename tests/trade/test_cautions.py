"""Cautions at the steps and materials that need them; they defer to label, code and licensed practice."""

from __future__ import annotations

import pytest

from shopday.shop.materials.cautions import (
    DEFER,
    DUST,
    LICENSED,
    NOISE,
    OILY_RAGS,
    caution_texts,
    cautions_for,
    day_end_cautions,
)
from shopday.shop.materials.material_book import builtin_materials
from shopday.shop.models import Shop, Step

BOOK = builtin_materials()
SHOP = Shop.model_validate(
    {
        "name": "Trial",
        "timezone": "UTC",
        "stations": [{"id": "saw", "dusty": True, "noisy": True}, {"id": "bench"}],
    }
)

KICKBACK = caution_texts()["kickback"]


def step(**fields: object) -> Step:
    return Step.model_validate({"id": "work", "hands_on": "1h", **fields})


@pytest.mark.parametrize(
    ("fields", "material", "said"),
    [
        ({"stations": ["saw"]}, None, [KICKBACK, DUST, NOISE, DEFER]),
        ({"stations": ["saw"], "dusty": False}, None, [KICKBACK, NOISE, DEFER]),
        ({"dusty": True}, None, [DUST, DEFER]),
        ({"hands": 2}, None, [caution_texts()["two-people"], DEFER]),
        ({"minds": ["tip-over", "mind the cat"]}, None, [caution_texts()["tip-over"], "mind the cat", DEFER]),
        ({"name": "Fix the chest to the wall"}, None, [LICENSED, DEFER]),
        ({"name": "Wire-brush the grain"}, None, []),
        ({"name": "Install at the customer's"}, None, [LICENSED, DEFER]),
        ({"name": "Wire the lamp"}, None, [LICENSED, DEFER]),
        ({}, "drying-oil", [OILY_RAGS, DEFER]),
        ({}, "yellow-pva", []),
        ({"stations": ["bench"]}, None, []),
    ],
)
def test_each_step_has_its_cautions(fields: dict[str, object], material: str | None, said: list[str]) -> None:
    """Oily rags: OSHA 29 CFR 1910.106 and 1910.125; lifting: NIOSH 1991; the rest is common practice."""
    assert list(cautions_for(step(**fields), BOOK.get(material or ""), SHOP)) == said


WORDS = {
    "kickback": "riving knife", "resin-dust": "respirator", "uncured-resin": "gloves", "silica": "wet",
    "food": "fully cured", "voc": "pilot flames", "tip-over": "686 mm", "pressure-pot": "relief valve",
    "old-paint": "lead", "diisocyanate-training": "0.1 %", "delivery": "strapped",
}  # fmt: skip
"""What each must say, from the rules it rests on: 16 CFR 1261 (27 in), Regulation (EU) 2020/1149, 40 CFR 745, ..."""


@pytest.mark.parametrize("id", WORDS)
def test_every_caution_of_the_book_is_found_by_its_id(id: str) -> None:
    assert WORDS[id] in caution_texts()[id]
    assert caution_texts()[id] in cautions_for(step(minds=[id]), None, SHOP)


@pytest.mark.parametrize(
    ("kilograms", "people", "said"),
    [
        (20, 1, ""),
        (40, 1, "other end"),
        (40, 2, ""),
        (60, 2, "3 people"),
        (136, 2, "6 people"),
        (136, 1, "6 people"),
    ],
)
def test_a_load_tells_how_many_people_it_needs(kilograms: float, people: int, said: str) -> None:
    """NIOSH 1991: 23 kg each, so two stop at 46 kg."""
    shop = Shop.model_validate({**SHOP.model_dump(), "people": [{"id": f"p{n}"} for n in range(people)]})
    found = " ".join(cautions_for(step(lifts_kg=kilograms), None, shop))
    assert said in found if said else found == ""


@pytest.mark.parametrize(
    ("station", "said"),
    [({"id": "bench"}, True), ({"id": "spray-booth"}, False), ({"id": "back", "sprays": True}, False),
     ({"id": "spray-corner", "sprays": False}, True)],
)  # fmt: skip
def test_flammable_finish_is_sprayed_where_that_is_safe(station: dict[str, object], said: bool) -> None:
    """OSHA 29 CFR 1910.107, NFPA 33."""
    shop = Shop.model_validate({"name": "Trial", "timezone": "UTC", "stations": [station]})
    found = cautions_for(step(stations=[station["id"]]), BOOK["lacquer"], shop)
    assert any("1910.107" in line for line in found) is said
    assert any("one filter" in line for line in found)


@pytest.mark.parametrize(
    ("station", "id"),
    [
        ("lathe", "rotating"),
        ("pressure-pot", "pressure-pot"),
        ("vacuum-press", "vacuum"),
        ("steam-box", "steam"),
        ("router-table", "kickback"),
    ],
)
def test_what_a_station_is_tells_what_to_mind(station: str, id: str) -> None:
    """Common practice, and the plates of the machines."""
    shop = Shop.model_validate({"name": "Trial", "timezone": "UTC", "stations": [{"id": station}]})
    assert caution_texts()[id] in cautions_for(step(stations=[station]), None, shop)


def test_noise_names_the_hours_of_the_town() -> None:
    quiet = Shop.model_validate({**SHOP.model_dump(exclude_defaults=True), "rules": {"noise": "7:30–19:00"}})
    assert "7:30–19:00" in cautions_for(step(noisy=True), None, quiet)[0]


def test_oily_rags_are_named_at_the_end_of_the_day() -> None:
    said = day_end_cautions([BOOK["hardwax-oil"], BOOK["yellow-pva"], BOOK["hardwax-oil"]])
    assert "hardwax oil" in said[0]
    assert "closed metal can" in said[0]
    assert said[-1] == DEFER
    assert day_end_cautions([BOOK["yellow-pva"]]) == ()
