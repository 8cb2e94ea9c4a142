"""Long work in sittings that can be counted: passes, or shares of a coat. Minutes worked out by hand (common practice)."""

from __future__ import annotations

import pytest
from test_numbers_of_recipes import values_of
from test_recipes import BOOK, BUILT_IN, made, steps


@pytest.mark.parametrize(
    ("recipe", "least", "most", "sittings"),
    [
        ("finish-oil-varnish", 18, 19, 2),  # 20 + 12 x 18 = 236, 248
        ("finish-oil-varnish", 38, 39, 3),  # 476, 488
        ("finish-waterborne-varnish", 18, 19, 2),  # 15 + 12 x 18 = 231, 243
        ("finish-shellac", 23, 24, 2),  # 10 + 10 x 23 = 240
        ("finish-lacquer", 28, 29, 2),  # 15 + 8 x 28 = 239
        ("finish-uv-oil", 12, 13, 2),  # 10 + 18 x 12 = 226
    ],
)
def test_a_coat_over_four_hours_is_shared_among_sittings(
    recipe: str, least: float, most: float, sittings: int
) -> None:
    """Each share is laid on in one go, right after the one before; the coat may be coated again after the last."""
    for area, count in ((least, sittings - 1), (most, sittings)):
        part = steps(
            made(recipe, area=area, coats=1, under_coats=1)
            if "uv" not in recipe
            else made(recipe, area=area, coats=1)
        )
        under, shares = (
            [step for id, step in part.items() if id.startswith(side)] for side in ("under", "top")
        )
        assert len(shares) == len(under) == count
        assert all(step.hands_on <= 240 for step in shares)
        assert [(step.after or ())[0].when for step in shares[1:]] == ["hands-off"] * (count - 1)
        covers = BOOK[shares[0].material or ""].coverage_m2_per_l or 0
        assert sum(step.amount_ml or 0 for step in shares) == pytest.approx(
            1100 * area / covers, abs=5 * count
        )


# In as many sittings, of as many minutes: of whole chairs, drawers or legs, none over 4 h if one of them takes less.
DIVIDED = [
    ("chairs", "chairs=24", "sand", 24, 150),  # 180 x 19.4 / 24 = 145.5 a chair
    ("chairs", "chairs=24", "rough", 12, 195),  # 97 a chair, two of them
    ("chairs", "", "shape", 2, 180),  # one takes 6 h
    ("chairs", "chairs=24", "shape", 48, 150),
    ("chairs", "chairs=24", "joinery", 24, 195),
    ("chairs", "chairs=24", "dry-fit", 3, 195),
    ("chairs", "chairs=24", "seat", 12, 195),
    ("drawers", "", "dovetails", 2, 180),
    ("drawers", "drawers=6", "parts", 2, 135),  # five of 45 min at most
    ("drawers", "drawers=10", "runners", 2, 150),
    ("drawers", "drawers=7", "fit", 2, 140),
    ("drawers", "drawers=17", "sand", 2, 130),
    ("doors", "doors=24", "joinery", 5, 200),  # 41 min a door, five of them
    ("doors", "doors=24", "mill", 3, 205),
    ("doors", "doors=24", "sand-panels", 1, 240),
    ("doors", "doors=24", "sand", 2, 185),
    ("doors", "doors=24", "hang", 4, 185),
    ("turned-legs", "legs=60", "turn", 12, 215),  # 43 min each
    ("turned-legs", "legs=12", "turn", 3, 160),  # eleven, five at most
    ("turned-legs", "legs=60", "blanks", 3, 165),
    ("turned-legs", "legs=60", "sand", 3, 165),
    ("veneered-panel", "panels=6", "veneer", 3, 240),  # 119 a panel
    ("veneered-panel", "panels=6", "trim", 2, 130),
    ("upholstered-seat", "seats=6", "frame", 2, 150),
    ("upholstered-seat", "where=here seats=3", "web", 2, 160),
    ("upholstered-seat", "seats=17", "fit", 2, 130),
    ("cnc-parts", "pieces=51 cut=17", "run", 5, 200),  # 20 min each, twelve of them
    ("cnc-parts", "pieces=100", "clean", 2, 205),
    ("case-piece", "", "joinery", 2, 180),
    ("finish-stain", "area=60", "dust-off", 13, 235),
]


@pytest.mark.parametrize(("recipe", "values", "step", "sittings", "minutes"), DIVIDED)
def test_long_work_is_done_in_sittings(
    recipe: str, values: str, step: str, sittings: int, minutes: int
) -> None:
    found = steps(made(recipe, **values_of(values)))[step]
    assert (found.passes, found.hands_on) == (sittings, minutes)


@pytest.mark.parametrize("name", BUILT_IN)
def test_no_sitting_is_longer_than_half_a_day(name: str) -> None:
    """Nor at the most of everything; what cannot be put down, a large pour, takes an hour more."""
    values = {p.id: p.most for p in BUILT_IN[name].parameters if p.kind == "number"}
    for step in steps(made(name, **values)).values():
        assert step.hands_on <= (300 if step.one_sitting else 240)


def test_bending_is_done_in_one_go_up_to_four_hours() -> None:
    """60 mm steam for 144 min, and 10 min a piece: of six two more are made, 224 min; of eight two, 244."""
    few, many = (steps(made("steam-bending", thickness=60, radius=600, pieces=n)) for n in (6, 8))
    assert few["bend"].one_sitting
    assert "bend-share-1" not in few
    assert [many[id].hands_on for id in ("bend-share-1", "bend")] == [125, 125]
