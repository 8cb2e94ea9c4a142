"""The plan on the wall is kept: the same for every reader, repaired after a fact, given back by undo."""

from __future__ import annotations

import datetime as dt
import json
import shutil
from collections import deque
from pathlib import Path

import pytest
from small_shops import later, open_shop, planned, said, start, steps

from shopday import atomic_file
from shopday.planning.open_shop import OpenShop
from shopday.planning.plan import Plan
from shopday.planning.questions.folder_warnings import folder_warnings
from shopday.planning.solving.kept_plan import PLAN_FILE, VERSION

LONG, SHORT = steps("saw 3h"), steps("saw 1h")


def deliveries(plan: Plan) -> dict[str, str]:
    return {row.job: said(row.delivery) for row in plan.jobs}


def without_proof(plan: Plan) -> tuple[object, ...]:
    return plan.steps, plan.jobs, plan.unplaced, plan.totals


@pytest.fixture
def shop(tmp_path: Path) -> OpenShop:
    """One maker; best is the short job 8:00-9:00, then the long one 9:00-12:00."""
    return open_shop(tmp_path, long=LONG, short=SHORT)


def test_every_reader_shows_the_same_kept_plan_whatever_its_effort(shop: OpenShop, tmp_path: Path) -> None:
    first = shop.plan(0)
    assert without_proof(OpenShop(shop.path, dt.datetime(2026, 3, 2, 8)).plan(1.0)) == without_proof(first)
    other = Path(shutil.copytree(shop.path, tmp_path / "second computer"))
    assert without_proof(OpenShop(other, dt.datetime(2026, 3, 2, 8)).plan(1.0)) == without_proof(first)


def test_a_fresh_plan_is_the_one_that_was_checked(tmp_path: Path) -> None:
    glue = 'stations = ["bench"]; waits = [{ name = "in clamps", takes = "3h", keeps = ["bench"] }]'
    shop = open_shop(
        tmp_path,
        shop='[[stations]]\nid = "bench"\n',
        desk=steps(f"glue 1h | {glue}", "oil 2h"),
        tray=steps('plane 1h | stations = ["bench"]', "wax 1h"),
    )
    plan = deque(filter(None, shop.fresh()), maxlen=1).pop()
    assert len(plan.steps) == 4
    assert plan == planned(shop)


def test_a_kept_plan_stays_until_a_better_one_is_used(shop: OpenShop) -> None:
    """The long job first: 8:00-11:00, then the short one until 12:00."""
    wall = next(filter(None, shop.fresh(0, near=reversed_plan(shop))))
    shop.use_plan(wall)
    assert deliveries(shop.plan()) == {"long": "Mon 11:00", "short": "Mon 12:00"}
    *_, (_, offer) = filter(None, shop.offers(shop.plan()))
    assert offer is None  # the long job would come an hour later for it
    assert deliveries(shop.plan()) == {"long": "Mon 11:00", "short": "Mon 12:00"}


def reversed_plan(shop: OpenShop) -> Plan:

    plan = list(filter(None, shop.fresh(1.0)))[-1]
    return plan._replace(order=tuple(reversed(plan.order)))


def test_untouched_work_keeps_its_order_and_its_time(tmp_path: Path) -> None:
    """a 8-10, b 10-12, c 13-14 on Monday; a takes until 11:00: b goes on at 11:00 over the break until 14:00, c follows."""
    shop = open_shop(tmp_path, a=steps("saw 2h"), b=steps("saw 2h"), c=steps("saw 3h"))
    before = shop.plan()
    assert [start(before, f"{job}/saw") for job in "abc"] == ["Mon 08:00", "Mon 10:00", "Mon 13:00"]
    shop.log("start", "a/saw")
    eleven = later(shop, "2026-03-02T11:00")
    eleven.log("finish", "a/saw")
    after = eleven.plan()
    assert [start(after, f"{job}/saw") for job in "bc"] == ["Mon 11:00", "Mon 14:00"]
    assert deliveries(after)["c"] == "Mon 17:00"


def test_the_day_closes_up_after_an_early_finish(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, a=steps("saw 2h"), b=steps("saw 2h"))
    assert start(shop.plan(), "b/saw") == "Mon 10:00"
    shop.log("start", "a/saw")
    nine = later(shop, "2026-03-02T09:00")
    nine.log("finish", "a/saw")
    assert start(nine.plan(), "b/saw") == "Mon 09:00"


def test_the_day_closes_up_after_a_finish_while_a_plan_is_still_searched(tmp_path: Path) -> None:
    """The search goes on for what was known when it began, and its plan is kept for that alone."""
    shop = open_shop(tmp_path, a=steps("saw 2h"), b=steps("saw 2h"))
    shop.log("start", "a/saw")
    nine = later(shop, "2026-03-02T09:00")
    search = filter(None, nine.plans())
    assert start(next(search), "b/saw") == "Mon 10:00"
    later(shop, "2026-03-02T09:00").log("finish", "a/saw")
    deque(search, maxlen=0)
    assert start(later(shop, "2026-03-02T09:00").plan(), "b/saw") == "Mon 09:00"


def test_work_logged_after_hours_leaves_no_hole_in_the_next_open_day(tmp_path: Path) -> None:
    """On Friday evening what was planned for Monday until 11:00 is done already."""
    jobs = {"a": ("2026-03-06", "8h"), "b": ("2026-03-09", "3h"), "c": ("2026-03-10", "4h")}
    written = {id: f"promise = {day}\n" + steps(f"saw {work}") for id, (day, work) in jobs.items()}
    shop = open_shop(tmp_path, now="2026-03-06T08:00", shop="[rules]\nreserve = false\n", **written)
    assert start(shop.plan(), "c/saw") == "Mon 11:00"
    shop.log("start", "a/saw")
    evening = later(shop, "2026-03-06T17:00")
    evening.log("finish", "a/saw")
    evening.log("finish", "b/saw")
    assert start(evening.plan(), "c/saw") == "Mon 08:00"
    assert start(later(shop, "2026-03-09T08:00").plan(), "c/saw") == "Mon 08:00"


def test_a_job_with_an_endangered_promise_moves_forward(tmp_path: Path) -> None:
    """a 8-9, b 9-10, then the long one until 17:00, promised for Monday. a takes until 10:00: only at once can the
    long one still be ready on Monday, so b waits."""
    rules = "[rules]\nreserve = false\n"
    long = "promise = 2026-03-02\n" + steps("saw 6h")
    shop = open_shop(tmp_path, shop=rules, a=steps("saw 1h"), b=steps("saw 1h"), long=long)
    assert deliveries(shop.plan()) == {"a": "Mon 09:00", "b": "Mon 10:00", "long": "Mon 17:00"}
    shop.log("start", "a/saw")
    ten = later(shop, "2026-03-02T10:00")
    ten.log("finish", "a/saw")
    after = ten.plan()
    assert after.late == 0
    assert start(after, "long/saw") == "Mon 10:00"
    assert start(after, "b/saw") == "Tue 08:00"


def test_undo_restores_the_earlier_plan_to_the_minute(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, a=steps("saw 2h", "glue 1h"), b=steps("saw 2h"), c=steps("saw 3h"))
    before = shop.plan()
    shop.log("start", "a/saw")
    shop.log("again", "a/saw")
    assert without_proof(shop.plan()) != without_proof(before)
    shop.undo()
    shop.undo()
    assert without_proof(shop.plan()) == without_proof(before)


def test_restoring_a_file_restores_its_plan(shop: OpenShop) -> None:
    before = shop.plan()
    file = shop.path / "jobs" / "short.toml"
    text = file.read_text("utf-8")
    file.write_text(text.replace("1h", "7h"), "utf-8")
    shop.refresh()
    assert deliveries(shop.plan()) != deliveries(before)
    file.write_text(text, "utf-8")
    shop.refresh()
    assert without_proof(shop.plan()) == without_proof(before)


def test_a_new_job_goes_last_and_moves_nothing(shop: OpenShop) -> None:
    before = deliveries(shop.plan())
    (shop.path / "jobs" / "stool.toml").write_text(steps("saw 30m"), "utf-8")
    shop.refresh()
    assert deliveries(shop.plan()) == {**before, "stool": "Mon 13:30"}


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "is damaged"),
        ("{", "is damaged"),
        ("[]", "is damaged"),
        ('{"shopday_plan": 1, "shop": "Test shop", "plans": [{"for": "x"}]}', "is damaged"),
        (f'{{"shopday_plan": {VERSION + 1}}}', "another version"),
        (
            '{"shopday_plan": 1, "shop": "Elsewhere", "plans": [{"for": "x", "late": [], "ended": true, '
            '"steps": [["desk/top/glue", 1, 29540640, ["maker"]]]}]}',
            "of another shop",
        ),
    ],
)
def test_a_damaged_plan_file_counts_as_missing_and_check_reports_it(
    shop: OpenShop, text: str, told: str
) -> None:
    best = shop.plan()
    file = shop.path / PLAN_FILE
    file.write_text(text, "utf-8")
    assert any(told in remark for remark in folder_warnings(shop, best))
    assert without_proof(shop.plan()) == without_proof(best)
    assert json.loads(file.read_text("utf-8"))["shopday_plan"] == VERSION
    assert not any(told in remark for remark in folder_warnings(shop, best))


def test_a_renamed_shop_keeps_its_plan(shop: OpenShop) -> None:
    before = shop.plan()
    file = shop.path / "shop.toml"
    file.write_text(file.read_text("utf-8").replace("Test shop", "Heron Yard"), "utf-8")
    shop.refresh()
    assert without_proof(shop.plan()) == without_proof(before)


def test_a_read_only_folder_can_be_planned(shop: OpenShop, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError("no")

    monkeypatch.setattr(atomic_file, "part_beside", refuse)
    assert deliveries(shop.plan()) == {"long": "Mon 12:00", "short": "Mon 09:00"}
    assert not (shop.path / PLAN_FILE).exists()
