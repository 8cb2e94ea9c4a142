"""What the lessons count as worked, by command. The shop is open 8:00 to 12:00 and 13:00 to 17:00, Monday to Friday;
Monday is 2 March 2026."""

from __future__ import annotations

from hand_shops import Hand
from small_shops import steps

MON, TUE = "2026-03-02T", "2026-03-03T"


def logged(hand: Hand, address: str, start: str, end: str) -> None:
    hand.run(start, "start", address, "--effort", "0")
    hand.run(end, "finish", address, "--effort", "0")


def actual(hand: Hand) -> dict[str, int]:
    """Minutes of work by address."""
    lessons = hand.ask("2026-03-06T17:00", "learned")["lessons"]
    return {case["address"]: case["actual"] for lesson in lessons for case in lesson["cases"]}


def test_lunch_night_and_hours_out_are_not_work(hand: Hand) -> None:
    # Monday from 10 to 17, less lunch: six hours. Tuesday from 8 to 12, out from 9 to 11: two.
    hand.lay(x=steps("a 1h", "b 1h"))
    logged(hand, "x/a", f"{MON}10:00", f"{MON}17:00")
    hand.run(f"{TUE}07:00", "out", "maker", "--hours", "09:00-11:00")
    logged(hand, "x/b", f"{TUE}08:00", f"{TUE}12:00")
    assert actual(hand) == {"x/a": 360, "x/b": 120}


def test_work_counts_within_the_hours_of_the_people_at_it(hand: Hand) -> None:
    # ana comes from 10 to 14 on Mondays: of 8:00 to 17:00 that is four hours, lunch of the shop or not.
    hand.lay('[[people]]\nid = "ana"\nhours = { monday = "10:00-14:00" }\n', x=steps("a 1h"))
    logged(hand, "x/a", f"{MON}08:00", f"{MON}17:00")
    assert actual(hand) == {"x/a": 240}


def test_two_steps_at_once_share_the_minutes(hand: Hand) -> None:
    # a from 8 to 11 and b from 9 to 11: an hour of a alone, then two hours for both. With lunch: c and d from 11 to 14
    # are two hours together. In all six hours, as many as there were.
    hand.lay(x=steps("a 1h"), y=steps("b 1h"), z=steps("c 1h"), w=steps("d 1h"))
    hand.run(f"{MON}08:00", "start", "x/a", "--effort", "0")
    logged(hand, "y/b", f"{MON}09:00", f"{MON}11:00")
    hand.run(f"{MON}11:00", "finish", "x/a", "--effort", "0")
    hand.run(f"{MON}11:00", "start", "z/c", "--effort", "0")
    logged(hand, "w/d", f"{MON}11:00", f"{MON}14:00")
    hand.run(f"{MON}14:00", "finish", "z/c", "--effort", "0")
    assert actual(hand) == {"x/a": 120, "y/b": 60, "z/c": 60, "w/d": 60}


def test_two_people_do_not_share_minutes(hand: Hand) -> None:
    hand.lay('[[people]]\nid = "ana"\n[[people]]\nid = "ben"\n', x=steps("a 1h"), y=steps("b 1h"))
    hand.run(f"{MON}08:00", "start", "x/a", "--effort", "0")
    logged(hand, "y/b", f"{MON}08:00", f"{MON}10:00")
    hand.run(f"{MON}10:00", "finish", "x/a", "--effort", "0")
    assert actual(hand) == {"x/a": 120, "y/b": 120}


def test_work_outside_all_hours_counts_in_full(hand: Hand) -> None:
    hand.lay(x=steps("a 1h"))
    logged(hand, "x/a", f"{MON}19:00", f"{MON}20:30")
    assert actual(hand) == {"x/a": 90}
