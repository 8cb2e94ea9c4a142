"""Cautions at the steps and materials that need them; they defer to label, code and licensed practice."""

from __future__ import annotations

import pytest

from shopday.shop.materials.cautions import (
    DEFER,
    DUST,
    HEAVY,
    LICENSED,
    NOISE,
    OILY_RAGS,
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


def step(**fields: object) -> Step:
    return Step.model_validate({"id": "work", "hands_on": "1h", **fields})


@pytest.mark.parametrize(
    ("fields", "material", "said"),
    [
        ({"stations": ["saw"]}, None, [DUST, NOISE, DEFER]),
        ({"stations": ["saw"], "dusty": False}, None, [NOISE, DEFER]),
        ({"dusty": True}, None, [DUST, DEFER]),
        ({"hands": 2}, None, [HEAVY, DEFER]),
        ({"name": "Install at the customer's"}, None, [LICENSED, DEFER]),
        ({"name": "Wire the lamp"}, None, [LICENSED, DEFER]),
        ({}, "drying-oil", [OILY_RAGS, DEFER]),
        ({}, "yellow-pva", []),
        ({"stations": ["bench"]}, None, []),
    ],
)
def test_cautions(fields: dict[str, object], material: str | None, said: list[str]) -> None:
    """Oily rags: OSHA 29 CFR 1910.106 and 1910.125; lifting: NIOSH 1991; the rest is common practice."""
    assert list(cautions_for(step(**fields), BOOK.get(material or ""), SHOP)) == said


def test_noise_names_the_hours_of_the_town() -> None:
    quiet = Shop.model_validate({**SHOP.model_dump(exclude_defaults=True), "rules": {"noise": "7:30–19:00"}})
    assert "7:30–19:00" in cautions_for(step(noisy=True), None, quiet)[0]


def test_the_day_ends_with_the_rags() -> None:
    said = day_end_cautions([BOOK["hardwax-oil"], BOOK["yellow-pva"], BOOK["hardwax-oil"]])
    assert "hardwax oil" in said[0]
    assert "closed metal can" in said[0]
    assert said[-1] == DEFER
    assert day_end_cautions([BOOK["yellow-pva"]]) == ()
