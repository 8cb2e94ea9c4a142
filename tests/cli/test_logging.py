"""start, finish, again, arrived, undo, reading: logged at once, and what moved is told."""

from __future__ import annotations

import pytest
from cli_shop import Shop, flat
from happening import Happening

pytestmark = pytest.mark.slow


def test_each_logging_command_tells_what_was_logged_and_what_moved(shop: Shop) -> None:
    answer = shop.ask("start", "stool/seat/glue")
    assert answer["logged"]["kind"] == "start"
    assert answer["logged"]["at"] == "2026-12-01T08:00:00-07:00"
    assert answer["moves"] == []
    shop.ask("finish", "stool/seat/glue", "--at", "08:50", now="2026-12-01T09:00")
    plan = shop.ask("plan", now="2026-12-01T09:00")
    glue = next(step for step in plan["steps"] if step["step"] == "glue")
    assert (glue["state"], glue["end"]) == ("waiting", "2026-12-01T08:50:00-07:00")


def test_again_tells_how_many_days_a_promise_slips(shop: Shop) -> None:
    shop.run("start", "stool/seat/oil", now="2026-12-01T15:00")
    shop.run("finish", "stool/seat/oil", now="2026-12-01T15:30")
    for step in ("glue", "shape"):
        shop.run("finish", f"stool/seat/{step}", "--at", "14:00", now="2026-12-01T15:30")
    # the first coat is dry Wed 15:30; the second 15:30-16:00, dry Thu 16:00, delivered Fri 8:00-9:00 at the latest
    answer = shop.ask("again", "stool/seat/oil", now="2026-12-02T09:00")
    (move,) = [move for move in answer["moves"] if move["job"] == "stool"]
    assert move == {
        "job": "stool",
        "from": "2026-12-02T16:30:00-07:00",
        "to": "2026-12-03T17:00:00-07:00",
        "slips": False,
    }
    shop.ask("undo", now="2026-12-02T09:00")
    _, said = shop.run("again", "stool/seat/oil", now="2026-12-02T09:00")
    assert "Milking stool: Wed 2 Dec → Thu 3 Dec, 1 day later; the promise of Thu 3 Dec holds." in flat(said)
    _, said = shop.run("again", "stool/seat/oil", now="2026-12-02T09:00")
    assert "the promise of Thu 3 Dec slips" in flat(said)


def test_undo_undoes_the_last_fact_and_names_it(shop: Shop) -> None:
    shop.run("arrived", "shelf/shelf/hooks")
    answer = shop.ask("undo")
    assert answer["logged"]["kind"] == "undo"
    assert answer["logged"]["of"]["address"] == "shelf/shelf/hooks"
    status, _ = shop.run("undo")
    assert status == 2
    assert "nothing has been logged" in shop.err


@pytest.mark.parametrize(("typed", "celsius"), [("12C", 12.0), ("50F", 10.0), ("-5C", -5.0)])
def test_a_reading_is_logged_in_celsius(shop: Shop, typed: str, celsius: float) -> None:
    assert shop.ask("reading", typed)["logged"]["data"]["celsius"] == pytest.approx(celsius)


@pytest.mark.parametrize(
    ("argv", "said"),
    [
        (("finish", "stool/seat/gleu"), "did you mean stool/seat/glue?"),
        (("finish", "stool/seat/glue", "--at", "09:00"), "still to come"),
        (("start", "shelf/shelf/hooks"), "log it as arrived"),
        (("reading", "warm"), '"20C" or "68F"'),
        (("reading", "12C", "--at", "2026-12-02T08:00"), "still to come"),
    ],
)
def test_an_impossible_fact_is_refused_in_one_line_and_changes_nothing(
    shop: Shop, argv: tuple[str, ...], said: str
) -> None:
    status, out = shop.run(*argv)
    assert (status, out) == (2, "")
    assert said in shop.err
    assert shop.err.count("\n") == 1
    assert not (shop.folder / "journal.db").exists()


def test_a_dry_run_tells_what_logging_would_move_and_logs_nothing(yard: Happening) -> None:
    # Dry at 9:30; a coat more, sanded back first, is 1 h 30 min of work and dries until 12:00: delivery from 13:00 on.
    yard.job(
        "a",
        'coat 30m | waits = [{ name = "dries", takes = "1h" }]',
        "deliver 1h",
        top="promise = 2026-03-02\n",
    )
    yard.do("Mon 8:00", "start", "a/coat")
    yard.do("Mon 8:30", "finish", "a/coat")
    again = "again", "a/coat", "--passes", "1", "--first", "1h"
    rows, plan = yard.rows(), yard.ask("Mon 9:30", "plan")
    told = yard.do("Mon 9:30", *again, "--dry-run")
    answer = yard.ask("Mon 9:30", *again, "--dry-run")
    assert (yard.rows(), yard.ask("Mon 9:30", "plan")) == (rows, plan)
    assert "Not logged: one more pass of Coat" in told
    assert (answer["logged"]["kind"], answer["logged"]["of"]["data"]) == ("dry-run", {"first": 60})
    (move,) = answer["moves"]
    assert (move["from"][11:16], move["to"][11:16]) == ("10:30", "14:00")
    assert yard.do("Mon 9:30", *again) == told.replace("Not logged", "Logged")


def test_a_dry_run_refuses_what_logging_refuses(yard: Happening) -> None:
    yard.job("a", "coat 30m")
    refusals = {yard.refused("Mon 8:00", "again", "a/coat", *dry) for dry in ((), ("--dry-run",))}
    assert len(refusals) == 1
    assert "not started yet" in refusals.pop()
