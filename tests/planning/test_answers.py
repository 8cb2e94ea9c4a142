"""The answers read off a plan: today, what is waited on, why not earlier, what moved, what a quote does."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from small_shops import HELPER, later, open_shop, planned, said, start, steps

from shopday.planning.questions.day import day_view
from shopday.planning.questions.folder_warnings import folder_warnings
from shopday.planning.questions.plan_changes import delivery_moves
from shopday.planning.questions.quote import quote_job
from shopday.planning.questions.waiting import waiting_items
from shopday.planning.questions.why import why
from shopday.shop.faults import ShopdayError
from shopday.shop.loading.folder_reader import read_job

BENCH = '[[stations]]\nid = "bench"\nname = "Bench"\n[[gear]]\nid = "clamps"\nname = "Clamps"\ncount = 6\n'
GLUE = (
    'glue 1h | name = "Glue up"; stations = ["bench"]; gear = { clamps = 4 }; '
    'waits = [{ name = "in clamps", takes = "6h", keeps = "all" }]'
)

# ---------------------------------------------------------------- today


def test_the_day_is_in_order_of_the_clock(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, shop=BENCH, desk='title = "Desk"\n' + steps(GLUE, "clean 30m"))
    today = day_view(shop, planned(shop))
    assert [(said(line.at), line.kind, line.text) for line in today.lines] == [
        ("Mon 08:00", "work", "Glue up (Desk)"),
        ("Mon 12:00", "break", "Break"),
        ("Mon 15:00", "ready", "Over: in clamps, Glue up (Desk); frees the bench and 4 clamps"),
        ("Mon 15:00", "work", "Clean (Desk)"),
        ("Mon 15:30", "deliver", "Desk is complete"),
    ]  # fmt: skip
    assert today.take_up is not None
    assert today.until is not None
    assert (today.take_up.address, said(today.until)) == ("desk/glue", "Mon 09:00")


def test_free_benches_and_clamps_let_work_start(tmp_path: Path) -> None:
    two = BENCH.replace("count = 6", "count = 8").replace('"Bench"', '"Bench"\ncount = 2')
    shop = open_shop(tmp_path, shop=two, desk=steps(GLUE, "clean 30m"), stool=steps(GLUE))
    shop.log("finish", "desk/glue")
    shop = later(shop, "2026-03-02T08:30")
    plan = planned(shop)
    assert start(plan, "stool/glue") == "Mon 08:30"
    assert day_view(shop, plan).stuck == ()


def test_an_appointment_may_be_kept_once_its_minute_has_come(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, now="2026-03-02T10:00", stool=steps("visit 1h | on = 2026-03-02T10:00:00"))
    assert day_view(shop, planned(shop)).stuck == ()


def test_a_standstill_is_explained_with_a_way_out(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, shop=BENCH, desk=steps(GLUE), stool=steps(GLUE))
    shop.log("finish", "desk/glue")
    shop = later(shop, "2026-03-02T08:30")
    assert day_view(shop, planned(shop)).stuck == (
        "The bench and 4 clamps are kept by Glue up (desk) (in clamps) until 14:00. It holds up Glue up (stool).",
        "A way out: find something to stand in for the bench and 4 clamps.",
    )


def test_what_could_be_started_instead_is_told_for_the_minute_of_the_next_step(tmp_path: Path) -> None:
    """The bench is kept until 14:00: until then nothing could be started, whatever the order."""
    plane = steps('plane 1h | stations = ["bench"]')
    shop = open_shop(tmp_path, shop=BENCH, desk=steps(GLUE), stool=plane, tray=plane)
    assert day_view(shop, planned(shop)).instead(shop.now()) == "Could be started now instead"
    shop.log("finish", "desk/glue")
    shop = later(shop, "2026-03-02T08:30")
    today = day_view(shop, planned(shop))
    assert [other.step.address for other in today.could_start] == ["tray/plane"]
    assert today.instead(shop.now()) == "Could be started at 14:00 instead"


def test_windows_arrivals_and_work_outside_have_their_lines(tmp_path: Path) -> None:
    job = steps(
        'coat 1h | waits = [{ name = "tacks", takes = "1h" }]',
        'next 1h | within = "5h"',
        'smith | away = { who = "the smith", takes = "2h" }',
        'hinges | after = []; arrives = { what = "hinges", on = 2026-03-02, from = "the shop in town" }',
    )
    shop = open_shop(tmp_path, desk=job)
    lines = {line.kind: (said(line.at), line.text) for line in day_view(shop, planned(shop)).lines}
    assert lines["window"] == ("Mon 15:00", "Last moment to start Next (desk)")
    assert lines["leaves"] == ("Mon 11:00", "Smith (desk) leaves for the smith")
    assert lines["arrives"] == ("Mon 13:00", "Smith (desk) is back from the smith")


def test_another_day_can_be_asked_for(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, desk=steps("a 9h"))
    tomorrow = day_view(shop, planned(shop), dt.date(2026, 3, 3))
    assert [(said(line.at), line.text) for line in tomorrow.lines if line.kind == "work"] == [
        ("Tue 08:00", "A (desk) goes on")
    ]
    assert tomorrow.could_start == ()
    assert day_view(shop, planned(shop), dt.date(2026, 3, 8)).take_up is None


def test_alternatives_say_why_they_are_not_first(tmp_path: Path) -> None:
    shop = open_shop(
        tmp_path,
        shop=BENCH,
        desk='title = "Desk"\npromise = 2026-03-02\n' + steps("plane 1h"),
        chair='title = "Chair"\npromise = 2026-03-06\n' + steps("saw 1h", "later 1h"),
        appointed=steps("visit 1h | on = 2026-03-04T10:00:00"),
    )
    today = day_view(shop, planned(shop))
    assert today.take_up is not None
    assert today.take_up.address == "desk/plane"
    assert [(a.step.address, a.why_not_first) for a in today.could_start] == [
        ("chair/saw", "Plane (Desk) comes first: Desk is promised 4 days earlier than Chair.")
    ]


def test_a_step_that_needs_a_taken_bench_is_no_alternative(tmp_path: Path) -> None:
    shop = open_shop(
        tmp_path,
        now="2026-03-02T09:00",
        shop=BENCH,
        a=steps(GLUE),
        b=steps('plane 1h | stations = ["bench"]'),
        c=steps("x 1h"),
        d=steps("y 1h"),
    )
    shop.log("finish", "a/glue")
    today = day_view(shop, planned(shop))
    assert {a.step.address for a in today.could_start} | {today.take_up.address if today.take_up else ""} == {
        "c/x",
        "d/y",
    }


# ---------------------------------------------------------------- waiting


def test_waiting_items_tell_what_they_free(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, now="2026-03-02T09:00", shop=BENCH, desk=steps(GLUE, "clean 30m"))
    shop.log("finish", "desk/glue")
    shop = later(shop, "2026-03-02T10:30")
    (only,) = waiting_items(shop, planned(shop))
    assert (only.what, said(only.since), said(only.until), only.share) == (
        "in clamps",
        "Mon 09:00",
        "Mon 15:00",
        0.25,
    )
    assert (only.frees, only.next, only.kind, only.closing) == (
        "the bench and 4 clamps",
        "Clean",
        "wait",
        False,
    )


def test_things_that_the_next_wait_keeps_are_not_freed(tmp_path: Path) -> None:
    waits = 'waits = [{ name = "firm gel", takes = "2h", keeps = "all" }, { name = "cures", takes = "4h", keeps = ["bench"] }]'
    pour = f'pour 1h | stations = ["bench"]; gear = {{ clamps = 4 }}; {waits}'
    shop = open_shop(tmp_path, now="2026-03-02T09:00", shop=BENCH, top=steps(pour))
    shop.log("finish", "top/pour")
    shop = later(shop, "2026-03-02T09:30")
    (gel,) = waiting_items(shop, planned(shop))
    assert (gel.what, gel.frees) == ("firm gel", "4 clamps")
    (cure,) = waiting_items(later(shop, "2026-03-02T12:00"), planned(later(shop, "2026-03-02T12:00")))
    assert (cure.what, cure.frees) == ("cures", "the bench")


def test_things_kept_until_somebody_is_in_are_waited_for(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, now="2026-03-02T12:00", shop=BENCH, desk=steps(GLUE, "clean 30m"))
    shop.log("finish", "desk/glue")
    shop = later(shop, "2026-03-02T20:00")
    (only,) = waiting_items(shop, planned(shop))
    assert (said(only.until), only.share, only.frees) == ("Tue 08:00", 1.0, "the bench and 4 clamps")


def test_a_window_about_to_close_comes_first(tmp_path: Path) -> None:
    coat = 'coat 1h | waits = [{ name = "dries", takes = "1h" }]'
    job = steps(coat, 'next 1h | within = "6h"; missed = { adds = "10m" }')
    shop = open_shop(
        tmp_path,
        now="2026-03-02T09:00",
        desk=job,
        soon=steps('oil 5m | waits = [{ name = "soaks", takes = "3h" }]'),
    )
    shop.log("finish", "desk/coat")
    shop.log("finish", "soon/oil")
    rows = waiting_items(later(shop, "2026-03-02T11:00"), planned(later(shop, "2026-03-02T11:00")))
    assert [(r.kind, r.what, r.closing, said(r.until)) for r in rows] == [
        ("window", "window closes", True, "Mon 16:00"),
        ("wait", "soaks", False, "Mon 12:00"),
    ]


def test_deliveries_and_informing_waits_are_listed(tmp_path: Path) -> None:
    job = steps(
        'hinges | arrives = { what = "hinges", on = 2026-02-27, from = "the ironmonger" }',
        'oil 1h | after = []; waits = [{ name = "fully hard", takes = "9d", informs = true }]',
        'fit 1h | after = ["hinges"]',
    )
    shop = open_shop(tmp_path, desk=job)
    shop.log("finish", "desk/oil")
    rows = waiting_items(shop, planned(shop))
    assert [(r.kind, r.what, r.overdue, r.next) for r in rows] == [
        ("arrives", "hinges from the ironmonger", True, "Fit"),
        ("informs", "fully hard", False, ""),
    ]


# ---------------------------------------------------------------- why


def test_the_chain_of_reasons_leads_back_to_now(tmp_path: Path) -> None:
    shop = open_shop(
        tmp_path,
        shop=BENCH,
        desk='title = "Desk"\n' + steps(GLUE, 'plane 1h | stations = ["bench"]', "oil 1h"),
    )
    assert why(shop, planned(shop), "desk/oil") == (
        "Oil (Desk) starts 16:00, because Plane (Desk) takes until 16:00.",
        "Plane (Desk) starts 15:00, because in clamps of Glue up (Desk) lasts until 15:00.",
        "Glue up (Desk) starts 8:00, which is now.",
    )


@pytest.mark.parametrize(
    ("shop", "jobs", "address", "words"),
    [
        ("", {"desk": "begin = 2026-03-04\n" + steps("a 1h")}, "desk/a", "is not to begin before Wed 4 Mar 0:00"),
        ("", {"desk": steps("a 4h", "b 1h")}, "desk/b", "you are not in before 13:00"),
        ("", {"desk": steps("a 1h | on = 2026-03-03T10:00:00")}, "desk/a", "it has an appointment then"),
        (HELPER, {"desk": steps("a 1h | hands = 2")}, "desk/a", "ada and kit are not both in before Wed 4 Mar 10:00"),
        ("", {"desk": steps("h | arrives = { on = 2026-03-05 }", "a 1h")}, "desk/a", "H is here Thu 5 Mar 8:00"),
        ("", {"desk": steps("s | away = { who = \"smith\", takes = \"2h\" }", "a 1h")}, "desk/a", "is at smith until 10:00"),
        ("", {"a": "promise = 2026-03-02\n" + steps("x 2h"), "b": steps("y 8h")}, "b/y", "you are busy with X (a) until 10:00"),
    ],
)  # fmt: skip
def test_every_reason_has_its_sentence(
    tmp_path: Path, shop: str, jobs: dict[str, str], address: str, words: str
) -> None:
    made = open_shop(tmp_path, shop=shop, **jobs)
    assert words in why(made, planned(made), address)[0]


def test_why_answers_for_unplaced_and_unknown_steps(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, desk=steps("a 1h | hands = 2"))
    plan = planned(shop)
    assert "needs two people" in why(shop, plan, "desk/a")[0]
    with pytest.raises(ShopdayError, match="not in the plan"):
        why(shop, plan, "desk/z")


# ---------------------------------------------------------------- what moved, quotes, remarks


def test_another_pass_moves_deliveries(tmp_path: Path) -> None:
    jobs = {"desk": "promise = 2026-03-02\n" + steps("a 4h", "b 4h"), "chair": steps("a 1h")}
    shop = open_shop(tmp_path, now="2026-03-02T12:00", **jobs)
    shop.log("finish", "desk/a")
    before = planned(shop)
    shop.log("again", "desk/a")
    found = {move.job: move for move in delivery_moves(before, planned(shop))}
    desk = found["desk"]
    assert (said(desk.before), said(desk.after), desk.slips, desk.days) == ("Mon 17:00", "Tue 12:00", True, 1)
    assert delivery_moves(before, before) == ()


def test_a_quote_has_its_delivery_the_delivery_alone_and_its_moves(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, desk="promise = 2026-03-04\n" + steps("a 8h"), chair=steps("a 8h"))
    file = tmp_path / "stool.toml"
    file.write_text(
        'title = "Stool"\nstatus = "quote"\npromise = 2026-03-03\nweight = 9\n' + steps("a 8h"), "utf-8"
    )
    answer = quote_job(shop, *read_job(file, shop.folder))
    # Promised for Tuesday: Monday for the stool, Tuesday for the desk, the chair a day later than before.
    assert (answer.job, said(answer.earliest), said(answer.alone)) == ("stool", "Mon 17:00", "Mon 17:00")
    assert {move.job for move in answer.moves} <= {"desk", "chair"}
    assert answer.plan.late == 0
    assert sorted(path.name for path in (tmp_path / "jobs").iterdir()) == ["chair.toml", "desk.toml"]


def test_suspicious_files_give_warnings(tmp_path: Path) -> None:
    shop_text = '[rules]\ndust_settles = "45m"\n'
    dusty = 'sand 1h | dusty = true; waits = [{ name = "settles", takes = "1h", still_air = true }]'
    jobs = {
        "desk": "promise = 2026-02-27\n" + steps("a 1h"),
        "chair": steps(dusty),
        "old": steps("h | arrives = { on = 2026-02-27 }"),
    }
    shop = open_shop(tmp_path, shop=shop_text, **jobs)
    shop.journal.append("finish", "gone/step", 1, shop.minute())
    said_ = folder_warnings(shop, planned(shop))
    for words in (
        "`chair/sand` makes dust",
        "`desk` was promised for Fri 27 Feb",
        "`old/h` should have arrived",
        "gone/step",
    ):
        assert any(words.lower() in text.lower() for text in said_), words
    assert all((text[0].isupper() or text[0] == "`") and text.endswith(".") for text in said_)


def test_a_shop_in_order_gives_no_warnings(tmp_path: Path) -> None:
    shop = open_shop(tmp_path, desk="promise = 2026-03-04\n" + steps("a 1h"))
    assert folder_warnings(shop, planned(shop)) == ()


def test_a_wait_before_another_frees_no_step_yet(tmp_path: Path) -> None:
    """The glue rests until 10:00 and is hard at 14:00; only then may it be planed."""
    waits = 'waits = [{ name = "rests", takes = "1h" }, { name = "hardens", takes = "4h" }]'
    shop = open_shop(tmp_path, desk=steps(f"glue 1h | {waits}", "plane 1h"))
    shop.log("start", "desk/glue")
    later(shop, "2026-03-02T09:00").log("finish", "desk/glue")
    for now, told in (("09:30", ("rests", "hardens")), ("10:30", ("hardens", "Plane"))):
        shop = later(shop, f"2026-03-02T{now}")
        plan = planned(shop)
        assert [(row.what, row.next) for row in waiting_items(shop, plan)] == [told]
        assert day_view(shop, plan).stuck[0] == (
            "Glue (desk): hardens until 14:00. It holds up Plane (desk)."
        )


def test_a_wait_does_not_close_the_window_of_a_step_that_does_not_wait_for_it(tmp_path: Path) -> None:
    """Leaks are looked for at once; what the gel is for comes after it."""
    pour = 'pour 1h | waits = [{ name = "gel", takes = "5h" }]'
    look = 'look 10m | after = [{ step = "pour", when = "hands-off", within = "4h" }]'
    shop = open_shop(tmp_path, desk=steps(pour, look, 'trim 1h | after = ["pour"]', "other 9h | after = []"))
    shop.log("start", "desk/pour")
    later(shop, "2026-03-02T09:00").log("finish", "desk/pour")
    shop = later(shop, "2026-03-02T09:00")
    (gel,) = (row for row in waiting_items(shop, planned(shop)) if row.what == "gel")
    assert (gel.next, said(gel.until), gel.closes) == ("Trim", "Mon 14:00", None)


def test_a_wait_that_ends_in_a_break_frees_things_after_it_and_says_since_when_it_is_over(
    tmp_path: Path,
) -> None:
    glue = GLUE.replace('takes = "6h"', 'takes = "3h 40m"')
    shop = open_shop(tmp_path, shop=BENCH, desk=steps(glue, "clean 30m"))
    freed = {line.text: said(line.at) for line in day_view(shop, planned(shop)).lines if line.kind == "ready"}
    assert freed == {"Over since 12:40: in clamps, Glue up (desk); frees the bench and 4 clamps": "Mon 13:00"}
