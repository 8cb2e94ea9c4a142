"""The line for a prompt: from the plan at a glance, and the same as `today` says."""

from __future__ import annotations

import pytest
from cli_shop import Shop

from shopday.planning import open_shop


def test_the_line_follows_the_day(shop: Shop) -> None:
    assert shop.run("status")[1] == "take up Glue up the seat (Milking stool)\n"
    shop.run("start", "stool/seat/glue")
    assert shop.run("status", now="2026-12-01T08:20")[1] == "Glue up the seat (Milking stool), 40m left\n"
    shop.run("finish", "stool/seat/glue", now="2026-12-01T09:00")
    said = shop.ask("status", now="2026-12-01T09:30")
    assert said["wait"] == "11:00 over: in clamps (Milking stool)"
    assert said["work"] == "11:00 Shape the seat (Milking stool)"
    assert said["window"] is None
    shop.run("start", "stool/seat/shape", now="2026-12-01T11:00")
    shop.run("finish", "stool/seat/shape", now="2026-12-01T15:00")
    said = shop.ask("status", now="2026-12-02T08:00")
    assert said["window"] == "! by 11:00 start Oil (Milking stool)"
    assert shop.run("status", now="2026-12-05T10:00")[1].startswith("nothing more today")


def test_nothing_is_planned_while_the_glance_is_fresh(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    before = shop.run("status")[1]
    with monkeypatch.context() as patch:
        patch.setattr(open_shop, "OpenShop", None)
        assert shop.run("status", now="2026-12-01T08:01")[1] == before
    job = shop.folder / "jobs" / "stool.toml"
    job.write_text(job.read_text().replace("Glue up the seat", "Glue the seat up"))
    assert "Glue the seat up" in shop.run("status", now="2026-12-01T08:01")[1]
    (shop.folder / ".glance.json").write_text('{"shopday_glance": 2, "glance": [3]}')
    assert "Glue the seat up" in shop.run("status", now="2026-12-01T08:01")[1]


def test_the_glance_is_left_alone_until_something_of_it_has_passed(shop: Shop) -> None:
    glance = shop.folder / ".glance.json"
    shop.run("today")
    kept = glance.stat().st_ino
    shop.run("today", now="2026-12-01T08:00")
    assert glance.stat().st_ino == kept
    shop.run("today", now="2026-12-01T08:01")  # the first step was to begin at 8:00
    assert glance.stat().st_ino != kept
