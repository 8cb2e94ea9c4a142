"""today, waiting, plan, quote: what they answer about a shop whose plan is worked out by hand.

The stool: glued 8:00-9:00, in clamps to 11:00, shaped 11:00-12:00 and 13:00-15:00, oiled 15:00-15:30, dry
Wednesday 15:30, delivered 15:30-16:30. The hooks come Wednesday 8:00 and are fixed 8:00-10:00.
"""

from __future__ import annotations

import pytest
from cli_shop import ASKED, SHELF, Shop, flat
from small_shop import STOOL

from shopday.shop.installing import install

pytestmark = pytest.mark.slow


def rows(plan: dict) -> dict[str, dict]:
    return {f"{s['part'] or ''}/{s['step']}": s for s in plan["steps"] if s["job"] == "stool"}


def test_plan_as_json_is_the_plan_worked_out_by_hand(shop: Shop) -> None:
    plan = shop.ask("plan")
    assert plan["shopday"] == 1
    assert plan["now"] == "2026-12-01T08:00:00-07:00"
    glue, oil = rows(plan)["seat/glue"], rows(plan)["seat/oil"]
    assert (glue["start"], glue["end"]) == ("2026-12-01T08:00:00-07:00", "2026-12-01T09:00:00-07:00")
    assert glue["waits"] == [
        {
            "name": "in clamps",
            "start": "2026-12-01T09:00:00-07:00",
            "end": "2026-12-01T11:00:00-07:00",
            "keeps": ["bench", "long-clamps"],
            "free": "2026-12-01T11:00:00-07:00",
            "still_air": False,
            "informs": False,
        }
    ]
    assert rows(plan)["seat/shape"]["stretches"] == [
        ["2026-12-01T11:00:00-07:00", "2026-12-01T12:00:00-07:00"],
        ["2026-12-01T13:00:00-07:00", "2026-12-01T15:00:00-07:00"],
    ]
    assert [wait["informs"] for wait in oil["waits"]] == [False, True]
    stool = next(job for job in plan["jobs"] if job["job"] == "stool")
    assert stool["delivery"] == "2026-12-02T16:30:00-07:00"
    assert stool["late_minutes"] == 0
    assert rows(plan)["/deliver"]["part"] is None
    assert (plan["late"], plan["unplaced"]) == (0, [])
    # from 8:00 to 16:30 the next day, and to 10:00 the next day
    assert plan["finish"] == 1950 + 1560
    assert [job["floor"] for job in plan["jobs"]] == [job["delivery"] for job in plan["jobs"]]
    assert (plan["proven"], plan["late_bound"], plan["finish_bound"]) == (True, 0, 1950 + 1560)


def test_today_says_what_to_take_up_and_until_when(shop: Shop) -> None:
    answer = shop.ask("today")
    assert answer["take_up"]["step"] == "glue"
    assert answer["until"] == "2026-12-01T09:00:00-07:00"
    _, said = shop.run("today")
    assert "Start now: Glue up the seat" in said
    assert "shopday start stool/seat/glue" in said
    assert "13:00–15:00" in said


@pytest.mark.parametrize("command", ["plan", "today"])
def test_a_proven_plan_is_called_the_best(shop: Shop, command: str) -> None:
    assert shop.ask(command)["proven"]
    assert "This is the best plan there is." in flat(shop.run(command)[1])


def test_a_quote_tells_how_good_its_plan_is(shop: Shop, tmp_path) -> None:
    file = tmp_path / "boot-rack.toml"
    file.write_text(ASKED)
    assert not shop.ask("quote", str(file))["proven"]
    assert "If there is a better plan, it leaves at most" in flat(shop.run("quote", str(file))[1])
    _, quick = shop.run("quote", str(file), "--effort", "0")
    assert "better plan" not in flat(quick)
    assert shop.ask("quote", str(file), "--effort", "0")["finish_bound"] is None


def test_a_day_off_says_what_comes_next(shop: Shop) -> None:
    _, said = shop.run("today", now="2026-12-05T09:00")
    assert "Nothing more today." in said
    assert "Mon 7 Dec 8:00" in flat(said)


def test_waiting_shows_what_runs_and_what_it_sets_free(shop: Shop) -> None:
    shop.run("start", "stool/seat/glue", now="2026-12-01T08:00")
    shop.run("finish", "stool/seat/glue", now="2026-12-01T09:00")
    answer = shop.ask("waiting", now="2026-12-01T10:00")
    clamps = next(row for row in answer["waiting"] if row["what"] == "in clamps")
    assert (clamps["until"], clamps["share"]) == ("2026-12-01T11:00:00-07:00", 0.5)
    _, said = shop.run("waiting", now="2026-12-01T10:00")
    assert "Frees the bench and 6 long clamps; then Shape the seat." in flat(said)
    assert "1h left" in said


def test_an_overdue_delivery_says_so(shop: Shop) -> None:
    _, said = shop.run("waiting", now="2026-12-04T09:00")
    assert "overdue" in said
    assert "shopday arrived shelf/shelf/hooks" in said


def test_plan_puts_the_job_at_risk_first(shop: Shop) -> None:
    _, said = shop.run("plan")
    assert said.index("Milking stool") < said.index("Wall shelf")
    assert "1 day in hand" in said
    assert "8 days in hand" in said


def test_a_late_job_is_marked_by_word_and_sign(shop: Shop) -> None:
    _, said = shop.run("plan", now="2026-12-03T08:00")
    assert "! 4 days late" in said  # dry Fri 15:30 with nobody in: delivered on Monday


def test_quote_answers_with_the_shop_full_and_empty_and_writes_no_file_but_the_plan(
    shop: Shop, tmp_path
) -> None:
    file = tmp_path / "boot-rack.toml"
    file.write_text(ASKED)
    before = sorted(shop.folder.rglob("*"))
    answer = shop.ask("quote", str(file))
    assert answer["quote"]["job"] == "boot-rack"
    # alone: 8:00-12:00 and 13:00-15:00 of the same day
    assert answer["quote"]["alone"] == "2026-12-01T15:00:00-07:00"
    assert any(step["job"] == "boot-rack" for step in answer["steps"])
    assert sorted(shop.folder.rglob("*")) == sorted(
        [*before, shop.folder / ".glance.json", shop.folder / ".plan.json"]
    )
    _, said = shop.run("quote", str(file))
    assert "With the shop empty of other work it would be 15:00." in flat(said)
    (row,) = (job for job in answer["jobs"] if job["job"] == "boot-rack")
    assert row["floor"] == row["delivery"]
    assert "No plan could deliver it earlier." in flat(said)


def test_a_step_without_a_place_gives_status_3_and_the_rest_is_printed(shop: Shop) -> None:
    (shop.folder / "jobs" / "stool.toml").write_text(
        STOOL.replace('hands_on = "3h"', 'hands_on = "5h"\n  one_sitting = true')
    )
    status, said = shop.run("plan")
    assert status == 3
    assert "Cannot be planned" in said
    assert "stool/seat/shape" in said
    assert "Fix the hooks" in said
    assert shop.run("plan", "--json")[0] == 3


def test_a_shop_without_jobs_says_where_jobs_are(shop: Shop) -> None:
    for file in (shop.folder / "jobs").iterdir():
        file.unlink()
    assert "jobs/" in shop.run("plan")[1]
    assert "No work is planned." in shop.run("today")[1]
    assert "Nothing is being waited on." in shop.run("waiting")[1]


HOSTILE = [
    "[bold]top[/]",
    "[/]",
    "leg [x2]",
    "🪑 stool",
    "שולחן",
    "a\x1b[31mred\x07",
    "x" * 200,
    "a\nb",
    "{0}%s",
]


@pytest.mark.parametrize("name", HOSTILE)
@pytest.mark.parametrize("command", ["today", "waiting", "plan", "sheet", "check"])
def test_typed_text_is_shown_literally(shop: Shop, name: str, command: str) -> None:
    written = "".join(c if c.isprintable() and c not in '"\\' else f"\\u{ord(c):04x}" for c in name)
    text = SHELF.replace('"Wall shelf"', f'"{written}"').replace('"Fix the hooks"', f'"{written}"')
    (shop.folder / "jobs" / "shelf.toml").write_text(text)
    status, said = shop.run(command, now="2026-12-02T08:30")
    assert status == 0, shop.err
    assert "\x1b" not in said + shop.err
    assert "\x07" not in said + shop.err
    shown = name.replace("\x1b", "\\x1b").replace("\x07", "\\x07").replace("\n", "\\n")
    if command in ("today", "plan", "sheet"):
        assert shown.replace(" ", "") in "".join(said.split())


def test_a_pipe_gets_80_columns_without_colours_or_trailing_blanks(shop: Shop) -> None:
    for command in ("today", "waiting", "plan", "sheet"):
        lines = shop.run(command)[1].splitlines()
        assert max(map(len, lines)) <= 80
        assert lines == [line.rstrip() for line in lines]


def test_proving_says_in_a_line_that_the_exact_engine_is_missing(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    with_it = shop.ask("plan", "--prove")
    assert shop.err == ""
    trouble = "OR-Tools 1.2 is not the version it was made for (9.12)"
    for module in ("scheduler", "scheduler.thorough_search"):
        monkeypatch.setattr(f"shopday.{module}.exact_engine_trouble", lambda: trouble)
    assert shop.ask("plan", "--prove") == with_it
    assert shop.err == (f"searched without the exact engine: {trouble}; {install('exact')}\n")
