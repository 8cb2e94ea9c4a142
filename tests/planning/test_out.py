"""One person out: worked out by hand, minute by minute. The shop is open 8:00 to 12:00 and 13:00 to 17:00,
Monday to Friday; Monday is 2 March 2026."""

from __future__ import annotations

import pytest
from hand_shops import Hand
from small_shops import steps

pytestmark = pytest.mark.slow

MON, TUE = "2026-03-02", "2026-03-03"
EIGHT = f"{MON}T08:00"

TWO = '[[people]]\nid = "ana"\nname = "Ana Ruiz"\n\n[[people]]\nid = "ben"\n'
ONE = '[[people]]\nid = "ana"\nname = "Ana Ruiz"\n'
WITH_KIT = ONE + '\n[[people]]\nid = "kit"\nrole = "helper"\n'


def test_nothing_is_planned_while_the_maker_is_out_for_part_of_a_morning(hand: Hand) -> None:
    # Four hours: 8 to 9, out till 11, 11 to 12, lunch, 13 to 15. It was 12:00 before: three hours later.
    hand.lay(ONE, x=steps("a 4h"))
    told = hand.run(EIGHT, "out", "Ana Ruiz", "--hours", "09:00-11:00", "--why", "dentist")
    assert told == (
        "Not in: Ana Ruiz, Mon 2 Mar, 9:00–11:00 (dentist). x: Mon 2 Mar 12:00 → 15:00, 3h later the same day."
    )
    assert hand.worked(EIGHT) == {"x/a": ["Mon 08:00-09:00", "Mon 11:00-12:00", "Mon 13:00-15:00"]}


def test_nothing_is_planned_while_the_maker_is_out_for_two_days(hand: Hand) -> None:
    hand.lay(ONE, x=steps("a 4h"))
    told = hand.run(EIGHT, "out", "ana", MON, TUE)
    assert told == "Not in: Ana Ruiz, Mon 2 Mar to Tue 3 Mar. x: Mon 2 Mar → Wed 4 Mar, 2 days later."
    assert hand.worked(EIGHT) == {"x/a": ["Wed 08:00-12:00"]}


def test_the_other_maker_works_while_one_is_out(hand: Hand) -> None:
    # Two jobs of four hours, done by two at noon; by ben alone one at noon and one at 17:00.
    hand.lay(TWO, x=steps("a 4h"), y=steps("a 4h"))
    assert hand.worked(EIGHT) == {"x/a": ["Mon 08:00-12:00"], "y/a": ["Mon 08:00-12:00"]}
    hand.run(EIGHT, "out", "ana")
    plan = hand.plan(EIGHT)
    assert sorted(step["people"][0] for step in plan.values()) == ["ben", "ben"]
    assert sorted(step["end"][11:16] for step in plan.values()) == ["12:00", "17:00"]


def test_work_for_two_waits_for_the_helper_and_other_work_does_not(hand: Hand) -> None:
    # kit is out on Monday: the lift is for two and waits for Tuesday 8:00, the hour at the bench does not.
    hand.lay(WITH_KIT, x=steps("lift 1h | hands = 2"), y=steps("plane 1h"))
    hand.run(EIGHT, "out", "kit")
    assert hand.worked(EIGHT) == {"x/lift": ["Tue 08:00-09:00"], "y/plane": ["Mon 08:00-09:00"]}


def test_work_for_two_stops_while_one_of_them_is_out(hand: Hand) -> None:
    # Two hours from 8:00, kit out 9 to 10: 8 to 9 and 10 to 11.
    hand.lay(WITH_KIT, x=steps("lift 2h | hands = 2"))
    hand.run(EIGHT, "out", "kit", "--hours", "09:00-10:00")
    assert hand.worked(EIGHT) == {"x/lift": ["Mon 08:00-09:00", "Mon 10:00-11:00"]}


def test_a_cure_goes_on_while_the_maker_is_out(hand: Hand) -> None:
    # Glued by 9:00 on Monday, 24 h at 21 C in a shop that is at 21 C day and night: cured Tuesday 9:00, and though
    # ana is out on Tuesday the shop is open then, so the clamps are off. She goes on on Wednesday.
    shop = f'{ONE}\n[[gear]]\nid = "clamps"\ncount = 4\n[temperature]\nday = "21C"\nnight = "21C"\n'
    glue = 'glue 1h | gear = { clamps = 4 }; waits = [{ name = "cures", takes = "24h", cures = true, keeps = "all" }]'
    hand.lay(shop, x=steps(glue, "plane 1h"))
    hand.run(EIGHT, "out", "ana", TUE)
    plan = hand.plan(EIGHT)
    (wait,) = plan["x/glue"]["waits"]
    assert (wait["end"][:16], wait["free"][:16]) == ("2026-03-03T09:00", "2026-03-03T09:00")
    assert plan["x/plane"]["start"][:16] == "2026-03-04T08:00"


def test_work_under_way_waits_for_its_people(hand: Hand) -> None:
    # Started at 8:00 by ana, an hour done by 9:00; she is out from 10 to 12: 9 to 10, then 13 to 15. ben could go
    # on at once and does not: he works on his own job.
    hand.lay(TWO, x=steps("a 4h"), y=steps("b 1h"))
    hand.run(EIGHT, "start", "x/a")
    hand.run(f"{MON}T09:00", "out", "ana", "--hours", "10-12")
    assert hand.worked(f"{MON}T09:00") == {
        "x/a": ["Mon 08:00-10:00", "Mon 13:00-15:00"],
        "y/b": ["Mon 09:00-10:00"],
    }


def test_hours_out_do_not_count_as_work(hand: Hand) -> None:
    # Started on Monday at 16:00: an hour. Out on Tuesday; on Wednesday at 9:00 two hours are done and two are left.
    hand.lay(ONE, x=steps("a 4h"))
    hand.run(f"{MON}T16:00", "start", "x/a")
    hand.run(f"{TUE}T07:00", "out", "ana", "--why", "ill")
    assert hand.worked("2026-03-04T09:00") == {"x/a": ["Mon 16:00-17:00", "Wed 08:00-11:00"]}


def test_days_out_cover_extra_hours_and_open_days(hand: Hand) -> None:
    # Saturday 7 March is open 9 to 13, and ana comes on Mondays from 18 to 20 besides; out on both.
    shop = ONE + 'also = [{ rule = "FREQ=WEEKLY;BYDAY=MO", from = 2026-03-02, hours = "18:00-20:00" }]\n'
    shop += '\n[[open]]\non = 2026-03-07\nhours = "09:00-13:00"\n'
    hand.lay(shop, x=steps("a 1h"))
    assert hand.worked("2026-03-06T17:00") == {"x/a": ["Sat 09:00-10:00"]}
    hand.run("2026-03-06T17:00", "out", "ana", "sat", "mon")
    assert hand.worked("2026-03-06T17:00") == {"x/a": ["Tue 08:00-09:00"]}


@pytest.mark.parametrize(
    ("typed", "last"),
    [("end of March", "Tue 31 Mar"), ("mid-March", "Sun 15 Mar"), ("in 2 weeks", "Mon 16 Mar"), ("Fri 6 Mar", "Fri 6 Mar")],
)  # fmt: skip
def test_days_are_given_as_in_the_app(hand: Hand, typed: str, last: str) -> None:
    hand.lay(TWO, x=steps("a 1h"))
    assert f"Not in: Ana Ruiz, Thu 5 Mar to {last}." in hand.run(EIGHT, "out", "ana", "thu", typed)


def test_a_closed_day_needs_nobody_out(hand: Hand) -> None:
    hand.lay(f"{TWO}\n[[closed]]\nfrom = {MON}\n", x=steps("a 1h"))
    assert hand.run(EIGHT, "out", "ana", "today") == "Not in: Ana Ruiz, Mon 2 Mar. No delivery moves."


def test_hours_out_are_exact_over_a_clock_change(hand: Hand) -> None:
    # Berlin, Sunday 29 March: 2:00 is 3:00. Open 1:00 to 6:00, four hours; out 3:00 to 4:00: 1 to 2 and 4 to 6.
    open_day = '\n[[open]]\non = 2026-03-29\nhours = "01:00-06:00"\n'
    hand.lay(ONE + open_day, x=steps("a 3h"))
    hand.run("2026-03-29T00:30", "out", "ana", "--hours", "03:00-04:00")
    assert hand.worked("2026-03-29T00:30") == {"x/a": ["Sun 01:00-03:00", "Sun 04:00-06:00"]}


# ------------------------------------------------------------ the file


NOTED = """
# who works here
[[people]]
id = "ana"
name = "Ana Ruiz"   # the boss
out = [
  { from = 2026-03-09, to = 2026-03-13, why = "skiing" },  # if there is snow
  { from = 2026-04-03, why = "fair" }  # always
]

[[people]]
id = "ben"
"""


def test_days_out_are_written_beside_the_comments(hand: Hand) -> None:
    hand.lay(NOTED, x=steps("a 1h"))
    hand.run(EIGHT, "out", "ana", "thu", "fri", "--why", "ill")
    hand.run(EIGHT, "out", "ben", "2026-03-20", "--hours", "09:00-10:00, 15:00-16:00")
    written = NOTED.replace(
        '"fair" }  # always\n',
        '"fair" },  # always\n  { from = 2026-03-05, to = 2026-03-06, why = "ill" },\n',
    )
    written += 'out = [{ from = 2026-03-20, hours = ["09:00-10:00", "15:00-16:00"] }]\n'
    assert hand.toml().endswith(written)


def test_a_person_can_be_in_after_all(hand: Hand) -> None:
    # The skiing of 9 to 13 March without the 11th is two entries; without the 9th and 10th as well, one of two days.
    hand.lay(NOTED, x=steps("a 1h"))
    hand.run(EIGHT, "out", "ana", "2026-03-11", "--remove")
    assert hand.ask(EIGHT, "out", "ana", "2026-04-03", "--remove")["out"] == [
        {"from": "2026-03-09", "to": "2026-03-10", "hours": None, "why": "skiing"},
        {"from": "2026-03-12", "to": "2026-03-13", "hours": None, "why": "skiing"},
    ]
    hand.run(EIGHT, "out", "ana", "2026-03-09", "2026-03-10", "--remove")
    assert "{ from = 2026-03-12" in hand.toml()
    assert "# the boss" in hand.toml()
    hand.run(EIGHT, "out", "ana", "2026-03-01", "2026-03-31", "--remove")
    assert "out =" not in hand.toml()


def test_the_implied_maker_can_be_out(hand: Hand) -> None:
    hand.lay(x=steps("a 1h"))
    assert "x: Mon 2 Mar → Tue 3 Mar" in hand.run(EIGHT, "out", "maker")
    assert '[[people]]\nid = "maker"\nout = [{ from = 2026-03-02 }]\n' in hand.toml()


def test_a_day_out_in_a_table_is_changed_there(hand: Hand) -> None:
    text = f"{ONE}\n  [[people.out]]\n  from = 2026-03-02 # flu\n  to = 2026-03-04\n"
    hand.lay(text, x=steps("a 1h"))
    hand.run(EIGHT, "out", "ana", "2026-03-04", "--remove")
    hand.run(EIGHT, "out", "ana", "2026-03-06")
    assert hand.toml().endswith(
        "  [[people.out]]\n  from = 2026-03-02 # flu\n  to = 2026-03-03\n\n  [[people.out]]\n  from = 2026-03-06\n"
    )


@pytest.mark.parametrize(
    ("argv", "said"),
    [
        (["an"], "nobody here is called 'an'; did you mean `ana`?"),
        (["ana", "2026-03-03", "2026-03-02"], "Mon 2 Mar comes before Tue 3 Mar; the earlier day comes first"),
        (["ana", "someday"], 'shopday out: FROM: "someday" is no day; write a day as 18 Dec'),
        (["ana", "1812-06-01"], "years go from 2000 to 2199"),
        (["ana", "--hours", "22:00-02:00"], 'split it at midnight: "22:00-24:00", and "00:00-02:00" on the next day'),
        (["ana", "--remove"], "ana is in then already; ana is out Thu 5 Mar, 9:00–12:00"),
        (["ben", "--remove"], "ben is in then already; nothing is written of days out"),
        (["ana", "thu"], "ana is out Thu 5 Mar, 9:00–12:00 already; `shopday out ana 2026-03-05 --remove` takes"),
        (["ana", "thu", "--remove", "--why", "well"], "--remove is for whole days; leave --hours and --why out"),
    ],
)  # fmt: skip
def test_impossible_days_out_are_refused_and_nothing_is_changed(
    hand: Hand, argv: list[str], said: str
) -> None:
    people = '[[people]]\nid = "ana"\nout = [{ from = 2026-03-05, hours = "09:00-12:00" }]\n[[people]]\nid = "ben"\n'
    hand.lay(people, x=steps("a 1h"))
    before = hand.toml()
    assert said in hand.refused(EIGHT, "out", *argv)
    assert hand.toml() == before


def test_people_with_one_name_are_distinguished_by_id(hand: Hand) -> None:
    hand.lay(TWO.replace('id = "ben"', 'id = "ben"\nname = "Ana Ruiz"'), x=steps("a 1h"))
    assert "there are several called 'ana ruiz'; say ana or ben" in hand.refused(EIGHT, "out", "ana ruiz")
    hand.run(EIGHT, "out", "ben")


def test_a_name_is_shown_literally(hand: Hand) -> None:
    hand.lay('[[people]]\nid = "ana"\nname = "[bold]Ana\\u001b[31m"\n', x=steps("a 1h"))
    told = hand.run(EIGHT, "out", "ana", "--why", "[red]ill\x1b[2J")
    assert "[bold]Ana\\x1b[31m, Mon 2 Mar ([red]ill\\x1b[2J)." in told
    assert "\x1b" not in told


def test_the_shell_completes_people(hand: Hand) -> None:
    hand.lay(TWO, x=steps("a 1h"))
    offered = hand.run(EIGHT, "completion", "words", "--shop", str(hand.folder), "out", "")
    assert offered == "ana Ana Ruiz ben"
