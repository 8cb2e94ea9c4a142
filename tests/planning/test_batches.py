"""What could be done in one go. Monday is 2 March 2026; the shop opens at 8:00."""

from __future__ import annotations

from pathlib import Path

from hand_shops import Hand
from small_shops import open_shop, planned, steps

from shopday.planning.questions.batches import batches

PLANE = 'plane 1h | setup = {{ what = "{}", takes = "15m" }}'
OIL = 'oil 20m | material = "hardwax-oil"; amount_ml = 100; waits = []'


def test_the_same_set_up_over_several_jobs_is_offered(hand: Hand) -> None:
    hand.lay(
        a=steps(PLANE.format("planer at 22 mm")),
        b=steps(PLANE.format("Planer at 22 mm")),
        c=steps(PLANE.format("planer at 30 mm")),
    )
    (said,) = hand.ask("2026-03-02T08:00", "today", "--effort", "0")["batches"]
    assert said == "Plane (a) and Plane (b) in one go, 8:00: set up planer at 22 mm once, saves about 15m."
    assert "In one go" in hand.run("2026-03-02T08:00", "today", "--effort", "0")


def test_steps_that_are_not_ready_are_not_in_a_batch(tmp_path: Path) -> None:
    plane = PLANE.format("planer at 22 mm")
    shop = open_shop(
        tmp_path, a=steps(plane), b=steps('boards | arrives = { what = "boards", on = 2026-03-04 }', plane)
    )
    assert batches(shop, planned(shop)) == ()


def test_one_mix_serves_what_its_pot_life_allows(tmp_path: Path) -> None:
    """Hardwax oil stays usable for 2 h (label): five times 20 min are 1 h 40 min, eight would be 2 h 40 min."""
    shop = open_shop(tmp_path, **{name: steps(OIL) for name in "abcdefgh"})
    (batch,) = batches(shop, planned(shop))
    assert (len(batch.steps), batch.saves) == (6, 50)


def test_setting_up_counts_as_hands_on_work(hand: Hand) -> None:
    hand.lay(a=steps(PLANE.format("saw at 45").replace("1h", "10m", 1)))
    status, _, err = hand._call("2026-03-02T08:00", "plan", "--effort", "0")
    assert status == 3
    assert "takes longer than its whole `hands_on`; `takes` is a part of `hands_on`" in err
