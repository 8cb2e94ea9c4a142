"""Dates told for shops of several jobs hold as often as they say, when work is followed as the product does."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from courses import held, made_up

SHOPS, COURSES = 12, 3


def test_dates_of_whole_shops_hold_as_often_as_they_say(tmp_path: Path) -> None:
    """Some 130 deliveries; the bounds leave room for their chance. `courses.py` plays as many as wanted."""
    found: Counter[str] = Counter()
    for seed in range(SHOPS):
        folder = tmp_path / str(seed)
        folder.mkdir()
        found.update(held(made_up(folder, seed), seed, COURSES))
    assert found["deliveries"] > 100
    shares = {name: found[name] / found["deliveries"] for name in ("p50", "p80", "p95")}
    assert 0.40 <= shares["p50"] <= 0.60
    assert 0.70 <= shares["p80"] <= 0.90
    assert 0.88 <= shares["p95"] <= 1.00
