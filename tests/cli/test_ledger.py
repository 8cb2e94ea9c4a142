"""Hours and costs for the books. Every number was worked out by hand; the shop is open from 8 to 12 and from 13 to 17."""

from __future__ import annotations

import pytest
from cli_shop import Shop, flat

pytestmark = pytest.mark.slow


@pytest.fixture
def worked(shop: Shop) -> Shop:
    """The seat was shaped on Tuesday from 16:00 and on Wednesday to 9:30: 1 h and 1 h 30 m by one person at 40 an hour."""
    file = shop.folder / "shop.toml"
    file.write_text(file.read_text() + '[prices]\nhour = 40\ncurrency = "EUR"\n')
    for job, title in (("stool", "=2+3"), ("shelf", "Wall shelf")):
        path = shop.folder / "jobs" / f"{job}.toml"
        path.write_text(path.read_text().replace("Milking stool", title).replace("Mrs Aldous", "Frau Müller"))
    for kind, step, at in (
        ("start", "glue", "01T08:00"), ("finish", "glue", "01T08:45"),
        ("start", "shape", "01T16:00"), ("finish", "shape", "02T09:30"),
    ):  # fmt: skip
        assert (
            shop.run(
                kind,
                f"stool/seat/{step}",
                "--quiet",
                *(["--anyway"] if kind == "start" else []),
                now=f"2026-12-{at}",
            )[0]
            == 0
        )
    return shop


LATER = "2026-12-02T10:00"


def test_hours_have_the_same_sum_by_every_key(worked: Shop) -> None:
    rows = {
        by: worked.ask("hours", "--by", by, now=LATER)["rows"] for by in ("day", "job", "customer", "step")
    }
    assert [(r["date"], r["address"], r["actual_minutes"]) for r in rows["day"]] == [
        ("2026-12-01", "stool/seat/glue", 45), ("2026-12-01", "stool/seat/shape", 60), ("2026-12-02", "stool/seat/shape", 90),
    ]  # fmt: skip
    assert {sum(row["actual_minutes"] for row in found) for found in rows.values()} == {195}
    by_job = {row["job"]: (row["estimate_minutes"], row["actual_hours"], row["over"]) for row in rows["job"]}
    assert by_job == {"stool": (330, 3.25, False), "shelf": (120, 0.0, False)}
    assert worked.ask("hours", "stool", "--by", "day", now=LATER)["rows"] == rows["day"]


def test_costs_are_hours_at_the_rate(worked: Shop) -> None:
    (stool,) = worked.ask("costs", "stool", now=LATER)["rows"]
    assert (stool["estimate_work"], stool["actual_work"], stool["actual_total"], stool["currency"]) == (
        220.0,
        130.0,
        130.0,
        "EUR",
    )
    assert "in all 300.00 EUR 130.00 EUR" in flat(worked.run("costs", now=LATER)[1])
    assert worked.run("hours", "stol", now=LATER)[0] == 2
    assert "did you mean `stool`?" in worked.err


def test_csv_suits_the_spreadsheet(worked: Shop) -> None:
    said = worked.run("hours", "--by", "job", "--csv", "--separator", ";", "--bom", now=LATER)[1]
    assert said.startswith("\ufeffjob;title;customer;estimate_minutes;")
    assert "stool;'=2+3;Frau Müller;330;5,50;195;3,25;no;0\r\n" in said
    assert ",stool,'=2+3,live," in worked.run("csv", now=LATER)[1]
    for command in ("csv", "hours"):
        assert any(row["title"] == "=2+3" for row in worked.ask(command, now=LATER)["rows"])


def test_work_without_a_logged_start_is_said_to_be_missing(worked: Shop) -> None:
    """The seat was oiled, but when it was begun nobody said: no 0 is claimed for it."""
    assert worked.run("finish", "stool/seat/oil", now=LATER)[0] == 0
    (stool,) = worked.ask("hours", "stool", now=LATER)["rows"]
    assert (stool["actual_minutes"], stool["unclocked"]) == (195, 1)
    missing = "Not counted: the work of a pass finished without a logged start."
    assert missing in flat(worked.run("hours", now=LATER)[1])
    assert missing in flat(worked.run("costs", now=LATER)[1])
    assert worked.ask("csv", now=LATER)["rows"][-1]["worked_minutes"] == ""


def test_books_without_a_job_say_so(shop: Shop) -> None:
    for file in (shop.folder / "jobs").iterdir():
        file.unlink()
    assert shop.run("hours")[1] == shop.run("costs")[1] == "There is nothing to count yet.\n"


def test_costs_name_what_has_no_price(shop: Shop) -> None:
    assert "Without a price in [prices] of shop.toml: an hour of work." in flat(shop.run("costs")[1])


def test_a_job_left_out_of_the_books_is_told_by_the_status(worked: Shop) -> None:
    (worked.folder / "jobs" / "shelf.toml").write_text("title = ")
    for command in ("hours", "costs", "csv", "learned"):
        assert worked.run(command, now=LATER)[0] == 3
        assert "jobs/shelf.toml:1" in worked.err
