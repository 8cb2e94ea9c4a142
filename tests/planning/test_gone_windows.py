"""What is said of how good a plan is where a window closed already, by command. Monday is 2 March 2026, 8:00 to
12:00 and 13:00 to 17:00."""

from __future__ import annotations

import pytest
from hand_shops import Hand
from small_shops import steps

BEST = "This is the best plan there is."
CUT = 'cut 30m | waits = [{ name = "dries", takes = "4h" }]'
GLUE = 'glue 40m | within = "1h"; missed = { adds = "30m" }'
MONDAY = "2026-03-02T"


@pytest.fixture
def cut(hand: Hand) -> Hand:
    """Cut from 8:00 to 8:30, dry at 12:30: to be glued by 13:30."""
    hand.lay(x=steps(CUT, GLUE))
    hand.run(f"{MONDAY}08:00", "start", "x/cut")
    hand.run(f"{MONDAY}08:30", "finish", "x/cut")
    return hand


def test_the_last_step_with_a_missed_window_is_proven_best(cut: Hand) -> None:
    # Planned for 15:00, 40 and 30 minutes: until 16:10, and no plan is sooner. From 8:00 to 16:10 are 70 from now.
    answer = cut.ask(f"{MONDAY}15:00", "plan")
    assert (answer["finish"], answer["finish_bound"], answer["proven"]) == (70, 70, True)
    assert BEST in cut.run(f"{MONDAY}15:00", "plan")


def test_the_last_step_with_an_open_window_is_proven_best(cut: Hand) -> None:
    # At 13:00 it starts within the window: 40 minutes, until 13:40.
    answer = cut.ask(f"{MONDAY}13:00", "plan")
    assert (answer["finish"], answer["finish_bound"], answer["proven"]) == (40, 40, True)


def test_a_window_that_closes_over_lunch(hand: Hand) -> None:
    # Cut until 11:30, dry at once, to be glued by 12:15. At 12:00 it is lunch, so it is 13:00 and missed: until 14:10.
    cut = 'cut 30m | waits = [{ name = "dries", takes = "0m" }]'
    hand.lay(x=steps(cut, GLUE.replace("1h", "45m")))
    hand.run(f"{MONDAY}11:00", "start", "x/cut")
    hand.run(f"{MONDAY}11:30", "finish", "x/cut")
    answer = hand.ask(f"{MONDAY}12:00", "plan")
    assert (answer["finish"], answer["finish_bound"], answer["proven"]) == (130, 130, True)


def test_a_window_that_closes_while_the_maker_is_at_something_else(hand: Hand) -> None:
    # Cut until 8:30, to be glued by 9:30 if it dries at once; a turning under way since 8:30 takes until 10:30.
    # From 10:30, 70 minutes: 11:40. Two jobs: the turned one is delivered at 10:30, 90 and 160 minutes from 9:00.
    hand.lay(x=steps("cut 30m", GLUE), y=steps("turn 2h"))
    hand.run(f"{MONDAY}08:00", "start", "x/cut")
    hand.run(f"{MONDAY}08:30", "finish", "x/cut")
    hand.run(f"{MONDAY}08:30", "start", "y/turn")
    answer = hand.ask(f"{MONDAY}09:00", "plan")
    assert (answer["finish"], answer["finish_bound"], answer["proven"]) == (90 + 160, 250, True)
