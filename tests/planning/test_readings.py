"""Day, night and readings, worked out by hand. The shop is open 8:00 to 12:00 and 13:00 to 17:00, Monday to Friday, in
Berlin; Monday is 2 March 2026. It is at 21 C by day, where a cure runs as on the label, and at 11 C by night, where it
runs half as fast."""

from __future__ import annotations

import pytest
from hand_shops import Hand
from small_shops import SHOP, steps

WARM = '[temperature]\nday = "21C"\nnight = "11C"\n'
MON = "2026-03-02T"


def glue(takes: str) -> str:
    return steps(f'glue 1h | waits = [{{ name = "cures", takes = "{takes}", cures = true }}]')


def glued(hand: Hand, start: str, end: str) -> None:
    hand.run(start, "start", "x/glue")
    hand.run(end, "finish", "x/glue")


def cured(hand: Hand, now: str) -> str:
    """When the glue is cured, by the plan of a minute."""
    (wait,) = hand.plan(now)["x/glue"]["waits"]
    return str(wait["end"][5:16])


def test_lunch_does_not_count_as_night(hand: Hand) -> None:
    # 24 h from Monday 9:00: eight hours by 17:00, lunch among them; the night gives 15 / 2 = 7:30; left are 8:30 from
    # Tuesday 8:00, lunch among them: 16:30. With a cold lunch it would be 17:30.
    hand.lay(WARM, x=glue("24h"))
    assert cured(hand, f"{MON}08:00") == "03-03T16:30"


def test_a_weekend_counts_as_one_night(hand: Hand) -> None:
    # 24 h from Friday 16:00: one hour by 17:00, and 23 at half the rate: 46 hours later, Sunday 15:00.
    hand.lay(WARM, x=glue("24h"))
    glued(hand, "2026-03-06T15:00", "2026-03-06T16:00")
    assert cured(hand, "2026-03-06T16:00") == "03-08T15:00"


def test_a_day_is_as_long_as_it_is_open(hand: Hand) -> None:
    # Saturday 7 March is open 9 to 10 and 14 to 15: day from 9 to 15. From Friday 17:00 until Saturday 9:00 are 16 h at
    # half the rate: 8; six by 15:00; of 20 h six are left, 12 hours at night: Sunday 3:00.
    hand.lay(f'{WARM}[[open]]\non = 2026-03-07\nhours = ["09:00-10:00", "14:00-15:00"]\n', x=glue("20h"))
    glued(hand, "2026-03-06T16:00", "2026-03-06T17:00")
    assert cured(hand, "2026-03-06T17:00") == "03-08T03:00"


def test_a_reading_holds_over_lunch_until_closing(hand: Hand) -> None:
    # Glued by 9:00. 10 h at 31 C, twice as fast: 8 hours of the clock until 17:00 are more than the 5 it takes: 14:00.
    hand.lay(WARM, x=glue("10h"))
    glued(hand, f"{MON}08:00", f"{MON}09:00")
    assert hand.run(f"{MON}09:00", "reading", "31C") == (
        "Logged: 31 C in the shop, until 17:00 today. x: Mon 2 Mar 21:00 → 14:00, 7h earlier the same day."
    )
    assert cured(hand, f"{MON}09:00") == "03-02T14:00"


def test_a_reading_ends_with_the_day(hand: Hand) -> None:
    # 20 h at 31 C: 16 by 17:00, then 11 C: 4 h in 8 hours: Tuesday 1:00.
    hand.lay(WARM, x=glue("20h"))
    glued(hand, f"{MON}08:00", f"{MON}09:00")
    hand.run(f"{MON}09:00", "reading", "31C")
    assert cured(hand, f"{MON}09:00") == "03-03T01:00"


def test_a_later_reading_replaces_an_earlier_one(hand: Hand) -> None:
    # 12 h: 31 C from 9:00 until 11:00 gives four, at 21 C there are eight left, of which six by 17:00; two at 11 C
    # take four: 21:00. The first is written down after the second, and says that it ends with it.
    hand.lay(WARM, x=glue("12h"))
    glued(hand, f"{MON}08:00", f"{MON}09:00")
    assert hand.run(f"{MON}11:00", "reading", "21C").startswith(
        "Logged: 21 C in the shop, until 17:00 today."
    )
    assert hand.run(f"{MON}11:30", "reading", "31C", "--at", "09:00") == (
        "Logged: 31 C in the shop from 9:00 today, until 11:00 today. x: Tue 3 Mar → Mon 2 Mar, 1 day earlier."
    )
    assert cured(hand, f"{MON}11:30") == "03-02T21:00"


def test_a_reading_at_night_holds_until_opening(hand: Hand) -> None:
    # 6 h from 17:00: 1:30 by 20:00 at 11 C, then 21 C: 4:30 more, Tuesday 0:30.
    hand.lay(WARM, x=glue("6h"))
    glued(hand, f"{MON}16:00", f"{MON}17:00")
    assert hand.run(f"{MON}20:00", "reading", "21C").startswith(
        "Logged: 21 C in the shop, until Tue 3 Mar 8:00."
    )
    assert cured(hand, f"{MON}20:00") == "03-03T00:30"


def test_a_reading_on_a_day_off_holds_until_it_opens_again(hand: Hand) -> None:
    # 20 h from Friday 17:00: until Saturday 12:00 19 hours give 9:30; 1 C is a quarter: 10:30 take 42 hours, until
    # Monday 6:00, before it opens.
    hand.lay(WARM, x=glue("20h"))
    glued(hand, "2026-03-06T16:00", "2026-03-06T17:00")
    said = hand.run("2026-03-07T12:00", "reading", "1C")
    assert said == "Logged: 1 C in the shop, until Mon 9 Mar 8:00. x: Sun 8 Mar → Mon 9 Mar, 1 day later."
    assert cured(hand, "2026-03-07T12:00") == "03-09T06:00"


def test_a_reading_on_a_closed_day_counts_as_night(hand: Hand) -> None:
    hand.lay(f"{WARM}[[closed]]\nfrom = 2026-03-02\nto = 2026-03-03\n", x=glue("1h"))
    answer = hand.ask(f"{MON}10:00", "reading", "15C")
    assert answer["until"] == "2026-03-04T08:00:00+01:00"


@pytest.mark.parametrize(
    ("friday", "sunday", "ends"),
    [
        # 33:20 h from Friday 17:00: 31:30 hours until Sunday 0:30 give 15:45. 17:35 are left at 21 C: 18:05 by a clock
        # that is not changed, 19:05 where 2:00 becomes 3:00, 17:05 where 3:00 becomes 2:00.
        ("2026-03-27", "2026-03-29", "03-29T19:05"),
        ("2026-10-23", "2026-10-25", "10-25T17:05"),
    ],
)
def test_a_reading_holds_over_a_clock_change(hand: Hand, friday: str, sunday: str, ends: str) -> None:
    hand.lay(WARM, x=glue("33h 20m"))
    glued(hand, f"{friday}T16:00", f"{friday}T17:00")
    assert "until Mon" in hand.run(f"{sunday}T00:30", "reading", "21C")
    assert cured(hand, f"{sunday}T00:30") == ends


def test_a_cold_reading_in_the_morning_holds_after_lunch(hand: Hand) -> None:
    # The glue wants 13 C; 8 C at 8:00 hold until 17:00, the night is at 5 C: Tuesday 8:00.
    cold = '[temperature]\nday = "18C"\nnight = "5C"\n'
    hand.lay(cold, x=steps('glue 1h | material = "white-pva"'))
    assert hand.worked(f"{MON}08:00")["x/glue"] == ["Mon 08:00-09:00"]
    hand.run(f"{MON}08:00", "reading", "8C")
    assert hand.worked(f"{MON}08:00")["x/glue"] == ["Tue 08:00-09:00"]


def test_a_reading_counts_in_a_shop_without_temperatures(hand: Hand) -> None:
    # 88 F are 31.1 C: 6 h take 360 / 2^(10.11 / 10) = 178.6 minutes, so from 9:00 until 11:59.
    hand.lay(x=glue("6h"))
    glued(hand, f"{MON}08:00", f"{MON}09:00")
    hand.run(f"{MON}09:00", "reading", "88F")
    assert cured(hand, f"{MON}09:00") == "03-02T11:59"
    hand.run(f"{MON}09:00", "undo")
    assert cured(hand, f"{MON}09:00") == "03-02T15:00"


def test_a_shop_that_is_never_open_keeps_its_reading(hand: Hand) -> None:
    hand.lay(head=SHOP.split("[hours]")[0])
    assert (
        hand.run(f"{MON}09:00", "reading", "12.5C") == "Logged: 12.5 C in the shop, until it is read again."
    )
    assert hand.ask(f"{MON}10:00", "reading", "12C")["until"] is None
