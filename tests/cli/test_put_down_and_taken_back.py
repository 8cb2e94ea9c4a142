"""What is put down, not needed, taken back or over, told by command: each small shop worked out by hand."""

from __future__ import annotations

import pytest
from happening import COATS, TWO_MAKERS, Happening

pytestmark = pytest.mark.slow


# ---------------------------------------------------------------- put down for now


def test_a_pause_over_lunch(yard: Happening) -> None:
    yard.job("a", "carve 2h")
    yard.do("Mon 11:00", "start", "a/carve")
    assert "putting down of Carve" in yard.do("Mon 11:30", "pause", "a/carve")
    # Half an hour is done; the rest is planned from 13:00, as nobody is in before.
    row = yard.row("Mon 12:30", "a/carve")
    assert (row["state"], row["put_down"]) == ("under way", True)
    assert yard.stretches("Mon 12:30", "a/carve") == ["Mon 11:00-11:30", "Mon 13:00-14:30"]
    yard.do("Mon 14:00", "start", "a/carve")
    assert yard.stretches("Mon 14:10", "a/carve") == ["Mon 11:00-11:30", "Mon 14:00-15:30"]
    yard.do("Mon 15:20", "finish", "a/carve")
    assert yard.stretches("Mon 16:00", "a/carve") == ["Mon 11:00-11:30", "Mon 14:00-15:20"]
    # 30 + 80 minutes of work where 120 were foreseen, whatever the clock ran.
    (lesson,) = yard.ask("Mon 16:00", "learned")["lessons"]
    assert lesson["factor"] == pytest.approx(110 / 120, abs=0.0005)


def test_a_pause_over_night(yard: Happening) -> None:
    yard.job("a", "carve 2h")
    yard.do("Mon 16:00", "start", "a/carve")
    yard.do("Mon 16:40", "pause", "a/carve")
    yard.do("Tue 9:00", "start", "a/carve")
    assert yard.stretches("Tue 9:30", "a/carve") == ["Mon 16:00-16:40", "Tue 9:00-10:20"]


def test_a_paused_step_is_shown_as_paused(yard: Happening) -> None:
    yard.job("a", "carve 2h", top='title = "Ladle"\n')
    yard.do("Mon 9:00", "start", "a/carve")
    assert "shopday finish a/carve" in yard.do("Mon 9:30", "today")
    yard.do("Mon 9:30", "pause", "a/carve")
    out = yard.do("Mon 9:30", "today")
    assert "Start now: Carve" in out
    assert "shopday start a/carve" in out
    assert "Begun, and put down for now: carve." in yard.do("Mon 9:30", "note", "a")


def test_a_pause_frees_people_and_bench(yard: Happening) -> None:
    yard.shop('[[stations]]\nid = "bench"\n')
    yard.job("a", 'carve 2h | stations = ["bench"]')
    yard.job("b", 'mend 1h | stations = ["bench"]')
    yard.do("Mon 9:30", "start", "a/carve")
    yard.do("Mon 10:00", "pause", "a/carve")
    yard.do("Mon 10:00", "start", "b/mend")
    assert yard.people() == ["maker"]
    # Mending has both until 11:00; an hour and a half of carving is left after it, with lunch in between.
    assert yard.span("Mon 10:00", "b/mend") == "Mon 10:00-11:00"
    assert yard.stretches("Mon 10:00", "a/carve") == ["Mon 9:30-10:00", "Mon 11:00-12:00", "Mon 13:00-13:30"]


def test_another_person_can_resume_a_paused_step(yard: Happening) -> None:
    yard.shop(TWO_MAKERS)
    yard.job("a", "carve 3h")
    yard.do("Mon 16:00", "start", "a/carve")
    yard.do("Mon 17:00", "pause", "a/carve")
    yard.do("Tue 9:00", "start", "a/carve", "--by", "ana")
    # Kim did an hour on Monday, when Ana is not in; two are left.
    assert yard.stretches("Tue 9:30", "a/carve") == ["Mon 16:00-17:00", "Tue 9:00-11:00"]
    assert yard.row("Tue 9:30", "a/carve")["people"] == ["ana"]


def test_a_step_finished_during_a_pause_ends_then(yard: Happening) -> None:
    yard.job("a", 'glue 1h | waits = [{ name = "in clamps", takes = "2h" }]')
    yard.do("Mon 8:00", "start", "a/glue")
    yard.do("Mon 8:40", "pause", "a/glue")
    yard.do("Mon 9:30", "finish", "a/glue")
    row = yard.row("Mon 9:30", "a/glue")
    assert (row["state"], row["complete"][11:16]) == ("waiting", "11:30")
    assert yard.stretches("Mon 9:30", "a/glue") == ["Mon 8:00-8:40"]


NIGHTS = '[hours]\nsaturday = ["20:00-24:00"]\nsunday = ["00:00-10:00"]\n'


def test_a_pause_on_the_night_the_clocks_go_forward(yard: Happening) -> None:
    yard.shop(hours=NIGHTS)
    yard.job("a", "watch 5h")
    # On 29 March 2:00 becomes 3:00. From 23:00 to 4:00 on the wall are four hours: one is left.
    yard.do("2026-03-28T23:00", "start", "a/watch")
    assert yard.row("2026-03-29T04:00", "a/watch")["end"] == "2026-03-29T05:00:00+02:00"
    # Put down from 1:00 to 4:00: two hours are done, three are left.
    yard.do("2026-03-29T01:00", "pause", "a/watch")
    yard.do("2026-03-29T04:00", "start", "a/watch")
    assert yard.row("2026-03-29T04:30", "a/watch")["end"] == "2026-03-29T07:00:00+02:00"


def test_work_on_the_night_the_clocks_go_back(yard: Happening) -> None:
    yard.shop(hours=NIGHTS)
    yard.job("a", "watch 6h")
    # On 25 October 3:00 becomes 2:00. From 23:00 to 4:00 on the wall are six hours: nothing is left but five minutes.
    yard.do("2026-10-24T23:00", "start", "a/watch")
    assert yard.row("2026-10-25T03:00", "a/watch")["end"] == "2026-10-25T04:00:00+01:00"
    assert yard.row("2026-10-25T04:00", "a/watch")["end"] == "2026-10-25T04:05:00+01:00"


@pytest.mark.parametrize(
    ("now", "argv", "said"),
    [
        ("Mon 8:00", ("pause", "a/carve"), "is not under way"),
        ("Mon 9:40", ("pause", "a/carve"), "was put down 9:30 already; start it to take it up again"),
        ("Mon 9:40", ("start", "a/carve", "--at", "09:20"), "put down 9:30, after 9:20"),
        ("Mon 9:40", ("pause", "a/hinges"), "cannot be put down"),
    ],
)
def test_impossible_pauses_and_resumptions_are_refused(
    yard: Happening, now: str, argv: tuple[str, ...], said: str
) -> None:
    yard.job("a", "carve 2h", "hinges | arrives = { on = 2026-03-05 }; after = []")
    if now != "Mon 8:00":
        yard.do("Mon 9:00", "start", "a/carve")
        yard.do("Mon 9:30", "pause", "a/carve")
    assert said in yard.refused(now, *argv)


# ---------------------------------------------------------------- not needed


def test_successors_of_a_skipped_step_wait_for_its_predecessors(
    yard: Happening,
) -> None:
    yard.job("a", "saw 2h", 'fill 1h | waits = [{ name = "dries", takes = "3h" }]', "sand 1h")
    yard.do("Mon 8:00", "start", "a/saw")
    # Saw until 10:00, fill until 11:00, dry at 14:00, sand until 15:00.
    assert yard.span("Mon 8:30", "a/sand") == "Mon 14:00-15:00"
    assert "skipping of Fill" in yard.do("Mon 8:30", "skip", "a/fill")
    row = yard.row("Mon 8:30", "a/fill")
    assert (row["state"], row["skipped"], row["waits"]) == ("done", True, [])
    assert yard.span("Mon 8:30", "a/fill") == "Mon 8:30-8:30"
    assert yard.span("Mon 8:30", "a/sand") == "Mon 10:00-11:00"
    assert "Saw is not finished" in yard.refused("Mon 9:00", "start", "a/sand")


def test_a_skipped_step_is_no_case_for_lessons(yard: Happening) -> None:
    yard.job("a", "saw 2h", "sand 1h")
    yard.do("Mon 8:00", "start", "a/saw")
    yard.do("Mon 9:00", "skip", "a/saw")
    assert yard.span("Mon 9:00", "a/sand") == "Mon 9:00-10:00"
    assert yard.ask("Mon 9:00", "learned")["lessons"] == []


def test_skipping_a_coat_keeps_the_others(yard: Happening) -> None:
    yard.job("a", *COATS, "rub 30m")
    yard.do("Mon 8:20", "finish", "a/oil")
    assert "skipping of Oil (2 of 3)" in yard.do("Mon 8:30", "skip", "a/oil")
    # The third still waits for the first to dry, 9:20, and takes 20 + 15 minutes.
    assert yard.span("Mon 8:30", "a/oil", 3) == "Mon 9:20-9:55"
    yard.do("Mon 8:40", "skip", "a/oil")
    assert yard.span("Mon 8:40", "a/rub") == "Mon 9:20-9:50"
    assert "done already" in yard.refused("Mon 8:50", "skip", "a/oil")


def test_a_window_counts_from_the_minute_of_the_skip(yard: Happening) -> None:
    yard.job(
        "a",
        'fill 1h | waits = [{ name = "dries", takes = "3h" }]',
        'sand 1h | within = "2h"; missed = { adds = "30m" }',
    )
    yard.do("Mon 8:00", "skip", "a/fill")
    yard.do("Mon 10:01", "start", "a/sand")
    assert yard.span("Mon 10:05", "a/sand") == "Mon 10:01-11:31"


def test_a_wait_of_a_skipped_step_delays_nothing(yard: Happening) -> None:
    yard.job(
        "a",
        'glue 1h | waits = [{ name = "in clamps", takes = "1h" }, { name = "hardens", takes = "9h" }]',
        'scrape 1h | after = [{ step = "glue", when = "in clamps" }]',
    )
    yard.do("Mon 8:00", "skip", "a/glue")
    assert yard.span("Mon 8:00", "a/scrape") == "Mon 8:00-9:00"


# ---------------------------------------------------------------- undo and redo


def test_undo_and_redo_name_their_fact_and_a_new_fact_ends_redo(yard: Happening) -> None:
    yard.job("hall", "saw 1h", 'glue 1h | name = "Glue up the seat"', top='title = "Hall bench"\n')
    yard.do("Mon 8:00", "start", "hall/saw")
    yard.do("Mon 9:00", "finish", "hall/saw")
    yard.do("Mon 9:00", "start", "hall/glue")
    full = yard.plan("Mon 9:30")
    assert yard.do("Mon 9:30", "undo").startswith("Undone: start of Glue up the seat (Hall bench), 9:00.")
    assert yard.do("Mon 9:30", "undo").startswith("Undone: finish of Saw (Hall bench), 9:00.")
    # The hour is not over at 9:30 by the journal: five minutes are left.
    assert yard.span("Mon 9:30", "hall/saw") == "Mon 8:00-9:35"
    assert yard.do("Mon 9:30", "redo").startswith("Redone: finish of Saw (Hall bench), 9:00.")
    assert yard.do("Mon 9:30", "redo").startswith("Redone: start of Glue up the seat (Hall bench), 9:00.")
    assert yard.plan("Mon 9:30") == full
    assert "nothing was taken back since" in yard.refused("Mon 9:30", "redo")
    yard.do("Mon 9:30", "undo")
    yard.do("Mon 9:30", "again", "hall/saw")
    assert "nothing was taken back since" in yard.refused("Mon 9:30", "redo")
    assert [fact.kind for fact in yard.rows()] == [
        "start", "finish", "start", "undo", "undo", "redo", "redo", "undo", "again",
    ]  # fmt: skip


def test_a_redone_fact_can_be_undone_again(yard: Happening) -> None:
    yard.job("a", "saw 1h")
    yard.do("Mon 8:00", "start", "a/saw")
    yard.do("Mon 8:30", "pause", "a/saw")
    for _ in range(2):
        assert "putting down of Saw" in yard.do("Mon 8:40", "undo")
        assert yard.row("Mon 8:40", "a/saw")["put_down"] is False
        assert "putting down of Saw" in yard.do("Mon 8:40", "redo")
        assert yard.row("Mon 8:40", "a/saw")["put_down"] is True
    answer = yard.ask("Mon 8:40", "undo")["logged"]
    assert (answer["kind"], answer["of"]["kind"]) == ("undo", "pause")
    answer = yard.ask("Mon 8:40", "redo")["logged"]
    assert (answer["kind"], answer["of"]["address"]) == ("redo", "a/saw")


def test_every_row_is_in_the_table(yard: Happening) -> None:
    yard.job("a", "saw 1h", "sand 1h", top='status = "live"\n')
    yard.do("Mon 8:00", "start", "a/saw")
    yard.do("Mon 8:30", "pause", "a/saw")
    yard.do("Mon 8:30", "skip", "a/sand")
    yard.do("Mon 8:30", "undo")
    yard.do("Mon 8:30", "redo")
    yard.do("Mon 8:30", "undo")
    rows = yard.ask("Mon 9:00", "csv")["rows"]
    assert [(row["what"], row["counts"], row["status"]) for row in rows] == [
        ("start", "yes", "live"), ("pause", "yes", "live"), ("skip", "no", "live"),
        ("undo", "no", "live"), ("redo", "no", "live"), ("undo", "no", "live"),
    ]  # fmt: skip


# ---------------------------------------------------------------- jobs that are over


def test_nothing_can_follow_a_cancelled_job_and_anything_a_delivered_one(yard: Happening) -> None:
    yard.job("b", 'rout 1h | after = ["jig/make"]')
    yard.job("jig", "make 1h", top='title = "Routing jig"\nstatus = "cancelled"\n')
    plan = yard.plan("Mon 8:00")
    assert [row["job"] for row in plan["jobs"]] == ["b"]
    (lost,) = plan["unplaced"]
    assert lost["address"] == "b/rout"
    assert "the job jig is cancelled" in lost["why"]
    yard.job("jig", "make 1h", top='title = "Routing jig"\nstatus = "delivered"\n')
    assert yard.span("Mon 8:00", "b/rout") == "Mon 8:00-9:00"
    assert "jig is delivered" in yard.refused("Mon 8:00", "start", "jig/make")


@pytest.mark.parametrize(
    ("status", "said"),
    [("delivered", "Your order was delivered."), ("cancelled", "Your order was cancelled;")],
)
def test_the_note_of_a_job_that_is_over_says_so(yard: Happening, status: str, said: str) -> None:
    yard.job("a", "make 1h", top=f'title = "Routing jig"\nstatus = "{status}"\n')
    assert said in yard.do("Mon 8:00", "note", "a")
