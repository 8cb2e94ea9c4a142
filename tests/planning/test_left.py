"""What was worked so far and what is left, by command and minute by minute. The shop is open 8:00 to 12:00 and 13:00 to
17:00, Monday to Friday, in Berlin; Monday is 2 March 2026."""

from __future__ import annotations

import pytest
from hand_shops import Hand
from small_shops import steps

MON, TUE = "2026-03-02T", "2026-03-03T"
NIGHTLY = '\n[[open]]\non = {0}\nhours = "01:00-06:00"\n'
SPRING, AUTUMN = "2026-03-29", "2026-10-25"
"""The Sundays on which 2:00 becomes 3:00, and 3:00 becomes 2:00."""


@pytest.mark.parametrize(
    ("hands_on", "start", "now", "said"),
    [
        # Two hours until lunch, and half an hour after it.
        ("4h", f"{MON}10:00", f"{MON}13:30", "2h 30m so far, 1h 30m left."),
        ("4h", f"{MON}10:00", f"{MON}12:40", "2h so far, 2h left."),
        # An hour on Monday, half an hour on Tuesday; the night is none.
        ("4h", f"{MON}16:00", f"{TUE}08:30", "1h 30m so far, 2h 30m left."),
        ("4h", f"{MON}16:00", f"{TUE}08:00", "1h so far, 3h left."),
        # Friday to Monday.
        ("4h", "2026-03-06T15:00", "2026-03-09T08:10", "2h 10m so far, 1h 50m left."),
        # At least five minutes are planned from now, and no minute is over yet; then 20 are.
        ("1h", f"{MON}08:00", f"{MON}09:00", "1h so far, 5m left."),
        ("1h", f"{MON}08:00", f"{MON}09:20", "1h 20m so far, 20m over."),
        # Over lunch an hour becomes no overrun; two days later it is one of 15 hours.
        ("1h", f"{MON}11:30", f"{MON}13:10", "40m so far, 20m left."),
        ("1h", f"{MON}08:00", "2026-03-04T08:00", "2 working days so far, 1 working day and 7h over."),
    ],
)
def test_hands_on_minutes_leave_out_breaks_and_nights(
    hand: Hand, hands_on: str, start: str, now: str, said: str
) -> None:
    hand.lay(x=steps(f"a {hands_on}"))
    hand.run(start, "start", "x/a")
    assert said in hand.run(now, "today", "--effort", "0")


@pytest.mark.parametrize(
    ("date", "now", "said"),
    [
        # From 1:00: an hour until 2:00, which is 3:00 in spring, and another until 4:00.
        (SPRING, "T04:00", "2h so far, 3h left."),
        # In autumn two hours until 3:00, which is 2:00, another until 3:00 and another until 4:00.
        (AUTUMN, "T04:00", "4h so far, 1h left."),
        # The first and the second half past two.
        (AUTUMN, "T02:30:00+02:00", "1h 30m so far, 3h 30m left."),
        (AUTUMN, "T02:30:00+01:00", "2h 30m so far, 2h 30m left."),
    ],
)
def test_a_clock_change_while_working(hand: Hand, date: str, now: str, said: str) -> None:
    hand.lay(NIGHTLY.format(date), x=steps("a 5h"))
    hand.run(f"{date}T01:00", "start", "x/a")
    assert said in hand.run(f"{date}{now}", "today", "--effort", "0")


def test_an_overrun_on_a_night_with_a_clock_change(hand: Hand) -> None:
    # An hour from 1:00, which in spring ends at 3:00; at 3:40 it is 40 minutes over.
    hand.lay(NIGHTLY.format(SPRING), x=steps("a 1h"))
    hand.run(f"{SPRING}T01:00", "start", "x/a")
    assert "1h 40m so far, 40m over." in hand.run(f"{SPRING}T03:40", "today", "--effort", "0")


def test_hours_in_which_somebody_is_out_are_not_work(hand: Hand) -> None:
    # From 8:00 to 9:30, out until 11:00, an hour until lunch: 2:30 at 13:00, and 1:30 to go.
    hand.lay(x=steps("a 4h"))
    hand.run(f"{MON}08:00", "start", "x/a")
    hand.run(f"{MON}09:30", "out", "maker", "--hours", "09:30-11:00")
    assert "2h 30m so far, 1h 30m left." in hand.run(f"{MON}13:00", "today", "--effort", "0")


def test_work_for_two_counts_while_both_are_in(hand: Hand) -> None:
    # kit is in on Mondays until 10:00: from 9:00 an hour was worked, and nothing more until the next one.
    people = '[[people]]\nid = "ana"\n[[people]]\nid = "kit"\nrole = "helper"\nhours = { monday = "08:00-10:00" }\n'
    hand.lay(people, x=steps("lift 2h | hands = 2"))
    hand.run(f"{MON}09:00", "start", "x/lift")
    assert "1h so far, 1h left." in hand.run("2026-03-09T08:00", "today", "--effort", "0")


def test_the_extra_work_of_a_missed_window_is_in_the_estimate(hand: Hand) -> None:
    # Planned at 15:00 with 40 and 30 minutes.
    glue = 'glue 40m | within = "1h"; missed = { adds = "30m" }'
    hand.lay(x=steps("cut 30m", glue))
    hand.run(f"{MON}08:00", "start", "x/cut")
    hand.run(f"{MON}08:30", "finish", "x/cut")
    assert hand.worked(f"{MON}15:00")["x/glue"] == ["Mon 15:00-16:10"]


@pytest.mark.parametrize(
    ("friday", "ends", "sunday"),
    [
        # Three days from Friday 17:00 end an hour later by the clock in spring, an hour earlier in autumn. Sunday at
        # midnight comes before the change: 31 of 72 hours are over, 41 are left.
        ("2026-03-27", "2026-03-30T18:00:00+02:00", SPRING),
        ("2026-10-23", "2026-10-26T16:00:00+01:00", AUTUMN),
    ],
)
def test_a_wait_over_a_clock_change_is_told_in_real_hours(
    hand: Hand, friday: str, ends: str, sunday: str
) -> None:
    hand.lay(x=steps('glue 1h | waits = [{ name = "hardens", takes = "3d" }]'))
    hand.run(f"{friday}T16:00", "start", "x/glue")
    hand.run(f"{friday}T17:00", "finish", "x/glue")
    (row,) = hand.ask(f"{sunday}T00:00", "waiting")["waiting"]
    assert (row["until"], row["share"]) == (ends, round(31 / 72, 3))
    assert "1d 17h left" in hand.run(f"{sunday}T00:00", "waiting")


def test_a_wait_that_ends_in_the_hour_that_comes_twice(hand: Hand) -> None:
    # Ten hours from Saturday 17:00 end at 3:00 summer time, which is the second 2:00. Half past two for the first time
    # it still runs, 30 minutes; half past two for the second time it is over.
    hand.lay('\n[[open]]\non = 2026-10-24\nhours = "08:00-17:00"\n', x=steps(
        'glue 1h | waits = [{ name = "hardens", takes = "10h" }]'
    ))  # fmt: skip
    hand.run("2026-10-24T16:00", "start", "x/glue")
    hand.run("2026-10-24T17:00", "finish", "x/glue")
    assert "30m left" in hand.run(f"{AUTUMN}T02:30:00+02:00", "waiting")
    assert "Nothing is being waited on." in hand.run(f"{AUTUMN}T02:30:00+01:00", "waiting")


def test_a_window_over_a_clock_change_is_told_in_real_hours(hand: Hand) -> None:
    # Two days from Friday 17:00 close on Sunday at 18:00, summer time. At 6:00 of that day 36 of 48 hours are over.
    hand.lay(
        '\n[[open]]\non = 2026-03-29\nhours = "08:00-20:00"\n', x=steps("cut 1h", 'glue 1h | within = "2d"')
    )
    hand.run("2026-03-27T16:00", "start", "x/cut")
    hand.run("2026-03-27T17:00", "finish", "x/cut")
    (row,) = hand.ask(f"{SPRING}T06:00", "waiting")["waiting"]
    assert (row["kind"], row["closes"][:16], row["share"]) == ("window", f"{SPRING}T18:00", 0.75)
    assert row["closing"]
    assert not hand.ask(f"{SPRING}T05:59", "waiting")["waiting"][0]["closing"]
    assert "12h left" in hand.run(f"{SPRING}T06:00", "waiting")


def test_a_delivery_that_moves_over_a_clock_change(hand: Hand) -> None:
    # Half an hour from 1:00; out until 4:00, which is two hours later, so from 4:00.
    hand.lay(NIGHTLY.format(SPRING), x=steps("a 30m"))
    said = hand.run(f"{SPRING}T00:00", "out", "maker", "--hours", "01:00-04:00")
    assert "x: Sun 29 Mar 1:30 → 4:30, 2h later the same day." in said
