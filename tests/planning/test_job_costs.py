"""What a job takes and costs, by command and in the app. The shop is open 8:00 to 12:00 and 13:00 to 17:00, Monday to Friday;
Monday is 2 March 2026. Every sum here was worked out by hand."""

from __future__ import annotations

import pytest
from hand_shops import Hand
from small_shops import steps

MON = "2026-03-02T"
PRICES = """
[prices]
currency = "EUR"
hour = 50
litre = { shellac = 30 }
[[people]]
id = "ana"
[[people]]
id = "kit"
role = "helper"
rate = 20
"""
DESK = steps(
    'boards | arrives = { what = "boards", on = 2026-03-02 }; costs = 180',
    "plane 2h | hands = 2",
    'coat 30m | material = "shellac"; amount_ml = 200; passes = 2; waits = []; next_pass = { extra = "30m" }',
)


def outlay(minutes: int, work: float, materials: float, bought: float) -> dict[str, float]:
    sums = {"work": work, "materials": materials, "bought": bought}
    return {"minutes": minutes, **sums, "total": sum(sums.values())}


@pytest.mark.slow
def test_a_quote_has_estimated_hours_and_costs(hand: Hand) -> None:
    # planing: 2 h of two at 50 = 200; coats: 30 + 60 min = 75; 2 x 200 ml at 30 = 12; boards 180
    hand.lay(PRICES)
    file = hand.folder / "desk.toml"
    file.write_text(DESK)
    costs = hand.ask(f"{MON}08:00", "quote", str(file), "--effort", "0", "--draws", "20")["quote"]["costs"]
    assert costs["estimate"] == outlay(330, 275.0, 12.0, 180.0)
    assert costs["actual"] == outlay(0, 0, 0, 0)
    said = hand.run(f"{MON}08:00", "quote", str(file), "--effort", "0", "--draws", "20")
    assert (
        "5h 30m of work by the estimate. Costs 467.00 EUR: work 275.00, materials 12.00, bought 180.00."
        in said
    )


@pytest.mark.slow
def test_the_table_has_estimate_and_actual_of_each_finished_step(hand: Hand) -> None:
    # planed from 8 to 11 by ana at 50 and kit at 20: 6 h of people, 3 x 70 = 210; one coat in 1 h, then it is skipped
    hand.lay(PRICES, desk=DESK)
    hand.run(f"{MON}08:00", "arrived", "desk/boards", "--effort", "0")
    hand.run(f"{MON}08:00", "start", "desk/plane", "--by", "ana,kit", "--effort", "0")
    hand.run(f"{MON}11:00", "finish", "desk/plane", "--effort", "0")
    hand.run(f"{MON}11:00", "start", "desk/coat", "--by", "ana", "--effort", "0")
    hand.run(f"{MON}12:00", "finish", "desk/coat", "--effort", "0")
    before = hand.ask(f"{MON}13:00", "csv")["rows"]
    ended = {row["step"]: (row["estimate_minutes"], row["worked_minutes"], row["costs"]) for row in before}
    assert ended["desk/plane"] == ("240", "360", "210.00")
    assert ended["desk/boards"] == ("0", "0", "180.00")
    assert ended["desk/coat"] == ("", "", "")  # another coat is to come
    hand.run(f"{MON}13:00", "skip", "desk/coat", "--effort", "0")
    rows = hand.ask(f"{MON}13:00", "csv")["rows"]
    assert (rows[-1]["estimate_minutes"], rows[-1]["worked_minutes"], rows[-1]["costs"]) == (
        "90",
        "60",
        "56.00",
    )


def test_a_price_of_an_unknown_material_is_a_fault(hand: Hand) -> None:
    hand.lay("[prices]\nlitre = { shellack = 30 }\n")
    assert "no material `shellack`; did you mean `shellac`?" in hand.refused(f"{MON}08:00", "plan")


@pytest.mark.slow
def test_minutes_shared_while_in_hand_count_once_and_time_away_not_at_all(hand: Hand) -> None:
    # 8 to 9 at the cutting, 9 to 10 half at it and half at the oiling
    away = steps('plate | away = { who = "the plater", takes = "3 workdays" }')
    hand.lay("", desk=away, chest=steps("cut 3h"), rack=steps("oil 2h"))
    hand.run(f"{MON}08:00", "start", "desk/plate")
    hand.run(f"{MON}08:00", "start", "chest/cut")
    hand.run(f"{MON}09:00", "start", "rack/oil")
    rows = hand.ask(f"{MON}10:00", "hours")["rows"]
    assert {row["job"]: row["actual_minutes"] for row in rows} == {"chest": 90, "rack": 30}
