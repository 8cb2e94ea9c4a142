"""Two-part mixes: exact at their ratio whatever the amount, by volume and by weight, each cup told."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopday.shop.materials.material_book import builtin_materials, merged_materials
from shopday.shop.materials.mixing import mixes
from shopday.shop.models import Step
from shopday.shop.ratios import Ratio, portioned, ratio_of

BOOK = builtin_materials()


def told(material: str, count: int = 1, /, hands_on: str = "30m", **fields: Any) -> str:
    step = Step.model_validate({"id": "coat", "hands_on": hands_on, "material": material, **fields})
    (mix,) = mixes([(step, count)], BOOK)
    return str(mix)


@pytest.mark.parametrize(
    ("text", "amount", "parts"),
    [
        ("3:1", 5, (6, 2)),
        ("3:1", 10, (9, 3)),
        ("3:1", 200, (150, 50)),
        ("10:1", 20, (20, 2)),
        ("100:44 by weight", 36, (25, 11)),
        ("2:1 by volume", 5000, (3334, 1667)),
        ("3:1", 1, (3, 1)),
        ("100:1", 50, (100, 1)),
        ("3:2", 36, (24, 16)),  # 22 and 15 are not three to two, nor are 23 and 15
    ],
)
def test_the_smallest_part_is_whole_and_the_total_is_rounded_up(
    text: str, amount: float, parts: tuple[int, ...]
) -> None:
    """Worked out by hand."""
    assert portioned(amount, ratio_of(text)) == parts


@given(
    st.lists(st.integers(1, 100), min_size=2, max_size=3),
    st.floats(0.1, 50_000),
)
def test_no_amount_misses_its_ratio(parts: list[int], amount: float) -> None:
    """Half a per cent, where labels allow a few (common practice)."""
    ratio = Ratio(tuple(map(float, parts)))
    sizes = portioned(amount, ratio)
    assert sum(sizes) >= amount - 1e-6
    for size, part in zip(sizes, parts, strict=True):
        assert size / min(sizes) == pytest.approx(part / min(parts), rel=0.0051)


@pytest.mark.parametrize(
    "text", ["by eye", "3", "3:0", "3:-1", "3:1 by feel", "1:101", "1:1000", "3:x", ":", "1..2:1"]
)
def test_a_wrong_ratio_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r'write it as "3:1", or "100:44 by weight"'):
        merged_materials(BOOK, {"ours": {"like": "hardwax-oil", "mix": text}})


@pytest.mark.parametrize(
    ("millilitres", "said"),
    [(25, "25 ml"), (995, "995 ml"), (1000, "1 l"), (1200, "1.2 l"), (2110, "2.11 l"), (2500, "2.5 l")],
)
def test_an_amount_is_told_as_a_can_shows_it(millilitres: float, said: str) -> None:
    assert told("shellac", amount_ml=millilitres) == f"Shellac: {said}"


@pytest.mark.parametrize(
    ("millilitres", "said"), [(1000, "1 l"), (15_000, "15 l at the label's ratio, 2 mixes of 7.5 l")]
)
def test_the_label_says_the_ratio_of_several_cups(millilitres: float, said: str) -> None:
    assert told("casting-resin", amount_ml=millilitres) == f"Casting resin: {said}"


def test_a_small_amount_is_one_cup() -> None:
    assert told("hardwax-oil", amount_ml=200) == "Two-part hardwax oil: 200 ml, 3:1 by volume: 150 ml + 50 ml"


def test_each_of_several_cups_is_listed() -> None:
    """Pot life 2 h: work of 3 h wants two cups of 60 ml."""
    said = told("hardwax-oil", amount_ml=120, hands_on="3h")
    assert said == "Two-part hardwax oil: 120 ml, 3:1 by volume: 2 mixes of 45 ml + 15 ml"


def test_only_the_spreading_counts_against_the_pot_life() -> None:
    assert "mixes" not in told("hardwax-oil", amount_ml=120, hands_on="3h", spreading="90m")


def test_a_ratio_by_weight_is_mixed_in_grams() -> None:
    """Powder glue, 5 parts to 2 by weight: 100 ml of about 1.1 kg a litre are 110 g, rounded up to 80 + 32."""
    said = told("urea-formaldehyde", amount_ml=100)
    assert said == "Urea-formaldehyde powder glue: 102 ml, 5:2 by weight: 80 g + 32 g"


def test_no_mix_is_larger_than_the_label_allows() -> None:
    """Casting resin: at most 10 l at once, from memory of data sheets."""
    assert "3 mixes of 8.335 l" in told("casting-resin", amount_ml=25_000)


def test_coats_of_two_sizes_have_their_own_cups() -> None:
    steps = [Step(id=f"s{ml}", hands_on=30, material="hardwax-oil", amount_ml=ml) for ml in (40, 80)]
    (mix,) = mixes(((step, 1) for step in steps), BOOK)
    assert str(mix).endswith("120 ml, 3:1 by volume: 1 mix of 30 ml + 10 ml, 1 mix of 60 ml + 20 ml")
