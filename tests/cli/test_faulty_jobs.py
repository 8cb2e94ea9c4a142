"""A job whose file has a fault costs that job alone: the rest is planned, and the fault is said."""

from __future__ import annotations

import json
from typing import Any

import pytest
from cli_shop import ASKED, SHELF, Shop, flat
from small_shop import STOOL

BAD_SHELF = SHELF.replace('hands_on = "2h"', 'hands_on = "2 hands"')
LINE = BAD_SHELF[: BAD_SHELF.index("2 hands")].count("\n") + 1
WHERE = f"jobs/shelf.toml:{LINE}: "


def write(shop: Shop, name: str, text: str) -> None:
    (shop.folder / "jobs" / f"{name}.toml").write_text(text)


def planned(shop: Shop, status: int = 3) -> Any:
    """The plan as JSON, which the command ends with this status."""
    ended, out = shop.run("plan", "--json", "--effort", "0")
    assert ended == status, shop.err
    return json.loads(out)


def test_the_plan_is_as_if_the_faulty_job_did_not_exist(shop: Shop) -> None:
    (shop.folder / "jobs" / "shelf.toml").unlink()
    without = planned(shop, status=0)
    (shop.folder / ".plan.json").unlink()
    write(shop, "shelf", BAD_SHELF)
    found = planned(shop)
    (row,) = found.pop("unplaced")
    assert row["address"] == "shelf"
    assert row["why"].startswith(WHERE)
    assert shop.err == f"{row['why']}\n"
    without.pop("unplaced")
    assert found == without


def test_every_fault_of_a_faulty_job_is_a_line_on_stderr(shop: Shop) -> None:
    write(shop, "shelf", BAD_SHELF.replace("promise = 2026", "weight = 12\npromise = 2026"))
    status, out = shop.run("today", "--effort", "0")
    assert status == 3
    assert "Milking stool" in out
    assert [line.split(":")[0] for line in shop.err.splitlines()] == ["jobs/shelf.toml"] * 2


def test_a_live_job_without_steps_is_reported(shop: Shop) -> None:
    write(shop, "shelf", 'title = "Wall shelf"\n')
    status, out = shop.run("today", "--effort", "0")
    assert status == 3
    assert "it holds no step" in flat(out)
    assert shop.err.startswith("jobs/shelf.toml:1: it holds no step")


def test_work_is_logged_on_the_other_jobs_and_not_on_the_faulty_one(shop: Shop) -> None:
    write(shop, "shelf", BAD_SHELF)
    status, _ = shop.run("start", "shelf/shelf/fix", "--effort", "0")
    assert status == 2
    assert WHERE in shop.err.splitlines()[-1]
    status, out = shop.run("start", "stool/seat/glue", "--effort", "0", "--json")
    assert status == 3
    assert json.loads(out)["logged"]["address"] == "stool/seat/glue"


@pytest.mark.parametrize("command", [["note", "shelf"], ["helps", "shelf"]])
def test_asking_for_a_faulty_job_reports_its_fault(shop: Shop, command: list[str]) -> None:
    write(shop, "shelf", BAD_SHELF)
    status, _ = shop.run(*command)
    assert status == 2
    assert WHERE in shop.err.splitlines()[-1]


def test_check_reports_every_fault_with_status_2(shop: Shop) -> None:
    write(shop, "shelf", BAD_SHELF)
    write(shop, "rack", "")
    assert shop.run("check")[0] == 2
    assert [line.split(":")[0] for line in shop.err.splitlines()] == ["jobs/rack.toml", "jobs/shelf.toml"]


def test_a_faulty_shop_file_stops_every_command(shop: Shop) -> None:
    write(shop, "shelf", BAD_SHELF)
    (shop.folder / "shop.toml").write_text("name = 3\n")
    assert shop.run("today")[0] == 2
    assert shop.err.startswith("shop.toml:1: ")
    assert WHERE in shop.err


@pytest.mark.parametrize("shelf", [BAD_SHELF, "[", SHELF.replace('id       = "fix"', 'id = "Fix it"')])
def test_the_rest_of_a_job_that_waits_for_a_faulty_one_is_planned(shop: Shop, shelf: str) -> None:
    deliver = 'id       = "deliver"\n'
    write(shop, "stool", STOOL.replace(deliver, f'{deliver}after = ["seat/oil", "shelf/shelf/fix"]\n'))
    write(shop, "shelf", shelf)
    found = planned(shop)
    rows = {row["address"]: row["why"] for row in found["unplaced"]}
    assert list(rows) == ["shelf", "stool/deliver"]
    assert "shelf/shelf/fix" in rows["stool/deliver"]
    assert "has faults" in rows["stool/deliver"]
    assert {(row["job"], row["step"]) for row in found["steps"]} == {
        ("stool", "glue"),
        ("stool", "shape"),
        ("stool", "oil"),
    }


def test_a_job_that_waits_for_a_missing_step_is_left_out_itself(shop: Shop) -> None:
    deliver = 'id       = "deliver"\n'
    write(shop, "stool", STOOL.replace(deliver, f'{deliver}after = ["shelf/shelf/fit"]\n'))
    found = planned(shop)
    (row,) = found["unplaced"]
    assert row["address"] == "stool"
    assert "no step `shelf/shelf/fit` to come after" in row["why"]
    assert {step["job"] for step in found["steps"]} == {"shelf"}


def test_of_two_jobs_that_wait_for_each_other_one_is_left_out(shop: Shop) -> None:
    write(shop, "a", '[[steps]]\nid = "x"\nhands_on = "1h"\nafter = ["b/x"]\n')
    write(shop, "b", '[[steps]]\nid = "x"\nhands_on = "1h"\nafter = ["a/x"]\n')
    found = planned(shop)
    left_out, waits = found["unplaced"]
    assert "waits for itself" in left_out["why"]
    assert {left_out["address"], waits["address"].removesuffix("/x")} == {"a", "b"}
    assert {step["job"] for step in found["steps"]} == {"stool", "shelf"}


def test_a_corrected_job_is_planned_as_before(shop: Shop) -> None:
    before = planned(shop, status=0)
    write(shop, "shelf", BAD_SHELF)
    planned(shop)
    write(shop, "shelf", SHELF)
    assert planned(shop, status=0) == before
    assert shop.err == ""


def test_a_quote_is_given_despite_a_faulty_job(shop: Shop) -> None:
    write(shop, "shelf", BAD_SHELF)
    asked = shop.folder / "rack.toml"
    asked.write_text(ASKED)
    status, out = shop.run("quote", str(asked), "--effort", "0", "--json")
    assert status == 3
    assert json.loads(out)["quote"]["earliest"]
    asked.write_text('title = "Boot rack"\n')
    assert shop.run("quote", str(asked), "--effort", "0")[0] == 2
    assert "rack.toml:1: it holds no step" in shop.err
