"""What is measured decides: moisture before a start, a test that ends a wait, a finish sanded back. The shop is open 8:00 to
12:00 and 13:00 to 17:00, Monday to Friday; Monday is 2 March 2026."""

from __future__ import annotations

import pytest
from hand_shops import Hand
from small_shops import steps

from shopday.planning.encoding.moisture_gates import moisture_limits
from shopday.shop.models import Moisture, Shop, Temperature

MON, TUE = "2026-03-02T", "2026-03-03T"
QUICK = ("--effort", "0")


@pytest.mark.parametrize(
    ("asked", "humidity", "limits"),
    [
        (Moisture(least=5, most=8), 65, (5, 8)),
        (Moisture(), None, (6, 9)),  # published: heated homes
        (Moisture(), 65, (10.0, 14.0)),  # 12.0 % by the Wood Handbook at 65 % (70 F), and 2 points either way
        (Moisture(most=4), None, (4, 4)),
        (Moisture(least=10), None, (10, 10)),
    ],
)
def test_moisture_limits_are_written_or_follow_from_the_shops_air(
    asked: Moisture, humidity: float | None, limits: tuple[float, float]
) -> None:
    shop = Shop(name="x", timezone="UTC", humidity=humidity, temperature=Temperature(day=21.1, night=21.1))
    assert moisture_limits(asked, shop) == pytest.approx(limits, abs=0.06)


def test_work_waits_for_boards_that_are_dry(hand: Hand) -> None:
    hand.lay(x=steps("mill 1h | moisture = { least = 6, most = 9 }", "glue 1h"))
    refused = hand.refused(f"{MON}08:00", "start", "x/mill", *QUICK)
    assert "no reading of moisture yet, and the wood must be at 6.0 to 9.0 %" in refused
    said = hand.run(f"{MON}08:00", "plan", *QUICK)
    assert "measure before it is begun" in said
    hand.run(f"{MON}08:00", "moisture", "x/mill", "8.2", "--board", "1", *QUICK)
    hand.run(
        f"{MON}08:00", "moisture", "x/glue", "12,5", "--board", "2", *QUICK
    )  # of its part, the step that asks
    assert hand.worked(f"{MON}08:30")["x/mill"] == ["Tue 08:00-09:00"]  # looked at again the next day
    refused = hand.refused(f"{TUE}08:00", "start", "x/mill", *QUICK)
    assert "board 2 is at 12.5 % moisture, and the wood must be at 6.0 to 9.0 %" in refused
    hand.run(f"{TUE}08:00", "moisture", "x/mill", "9", "--board", "2", *QUICK)
    hand.run(f"{TUE}08:00", "start", "x/mill", *QUICK)


def test_a_test_ends_a_cure_or_lengthens_it(hand: Hand) -> None:
    # oiled from 8:00 to 9:00 and dry at 19:00 by the label, so it is polished on Tuesday
    hand.lay(x=steps('oil 1h | waits = [{ name = "dries", takes = "10h", cures = true }]', "polish 1h"))
    hand.run(f"{MON}08:00", "start", "x/oil", *QUICK)
    assert "no wait of Oil (x) has begun" in hand.refused(f"{MON}08:30", "tested", "x/oil", *QUICK)
    hand.run(f"{MON}09:00", "finish", "x/oil", *QUICK)
    assert hand.worked(f"{MON}09:00")["x/polish"] == ["Tue 08:00-09:00"]
    hand.run(f"{MON}14:00", "tested", "x/oil", *QUICK)
    assert hand.worked(f"{MON}14:00")["x/polish"] == ["Mon 14:00-15:00"]
    assert "over already" in hand.refused(f"{MON}14:05", "tested", "x/oil", *QUICK)
    hand.run(f"{MON}14:05", "tested", "x/oil", "20h", *QUICK)  # soft after all
    assert hand.worked(f"{MON}14:05")["x/polish"] == ["Tue 10:05-11:05"]
    hand.run(f"{MON}14:06", "undo", *QUICK)
    hand.run(f"{MON}14:06", "start", "x/polish", *QUICK)


def test_a_finish_is_sanded_back_and_coated_again(hand: Hand) -> None:
    hand.lay(x=steps('coat 30m | waits = [{ name = "dries", takes = "1h" }]', "deliver 1h"))
    hand.run(f"{MON}08:00", "start", "x/coat", *QUICK)
    hand.run(f"{MON}08:30", "finish", "x/coat", *QUICK)
    assert "1 to 20" in hand.refused(f"{MON}08:30", "again", "x/coat", "--passes", "40", *QUICK)
    hand.run(f"{MON}09:30", "again", "x/coat", "--passes", "2", "--first", "1h", *QUICK)
    rows = [s for s in hand.ask(f"{MON}09:30", "plan", *QUICK)["steps"] if s["step"] == "coat"]
    # 1 h of sanding and 30 min, dry at 12:00, and another coat of 30 min after lunch
    assert [[span[11:16] for span in s["stretches"][0]] for s in rows] == [
        ["08:00", "08:30"], ["09:30", "11:00"], ["13:00", "13:30"],
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("moisture", "said"),
    [
        ("{ least = 9, most = 6 }", "`least` is 9 and `most` is 6; write the drier one as `least`"),
        ("{ most = 90 }", "60"),
        ("{ about = 8 }", "about"),
    ],
)
def test_impossible_limits_are_faults(hand: Hand, moisture: str, said: str) -> None:
    hand.lay(x=steps(f"mill 1h | moisture = {moisture}"))
    status, _, err = hand._call(f"{MON}08:00", "plan", *QUICK)
    assert (status, said in err) == (3, True), err


def test_a_moisture_reading_needs_a_step_that_asks_for_it(hand: Hand) -> None:
    hand.lay(x=steps("mill 1h"), y=steps("mill 1h | moisture = {}"))
    assert "nothing that is still to do in Mill (x) asks for moisture" in hand.refused(
        f"{MON}08:00", "moisture", "x/mill", "8"
    )
    assert "400 % is no moisture of wood" in hand.refused(f"{MON}08:00", "moisture", "y/mill", "400")
