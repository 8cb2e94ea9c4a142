"""Sizes no shop has: an answer all the same, or a sentence that says why not."""

from __future__ import annotations

from pathlib import Path

from small_shops import SHOP, open_shop, planned, row, said, steps

from shopday.planning.questions.folder_warnings import folder_warnings


def test_a_step_of_ten_thousand_hours_is_refused_for_lack_of_time(tmp_path: Path) -> None:
    # Forty hours a week: 250 weeks of the year's 52, for each of two passes.
    plan = open_shop(tmp_path, desk=steps("carve 10000h | passes = 2")).plan(0)
    assert [u.address for u in plan.unplaced] == ["desk/carve"]
    assert "more `hours`" in plan.unplaced[0].why


def test_a_hundred_passes_follow_one_another(tmp_path: Path) -> None:
    plan = planned(open_shop(tmp_path, desk=steps("coat 30m | passes = 100")))
    # 50 hours at 40 a week: ten more hours from the second Monday, at eight a day.
    assert said(row(plan, "desk/coat", 100).end) == "Tue 10:00"


def test_a_closed_year_is_planned_around_and_reported(tmp_path: Path) -> None:
    shop = open_shop(
        tmp_path,
        head=SHOP + '[[closed]]\nfrom = 2026-03-02\nto = 2027-03-07\nwhy = "away"\n',
        desk=steps("saw 1h"),
    )
    plan = planned(shop)
    assert row(plan, "desk/saw").start.isoformat() == "2027-03-08T08:00:00+01:00"
    assert any("closed until Mon 8 Mar 2027" in text for text in folder_warnings(shop, plan))


def test_fifty_jobs_all_get_a_date(tmp_path: Path) -> None:
    jobs = {f"job{k}": steps("a 1h", "b 1h", "c 1h") for k in range(50)}
    plan = open_shop(tmp_path, **jobs).plan(0)
    assert len(plan.jobs) == 50
    assert all(job.delivery is not None for job in plan.jobs)
    # 150 hours at eight a day and nobody idle: 18 working days, and six hours of the next with its lunch.
    last = max(job.delivery for job in plan.jobs if job.delivery is not None)
    assert last.isoformat() == "2026-03-26T15:00:00+01:00"
