"""How times and names are said, and how moves are told."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopday.app.rows.move_text import move_sentence, move_summary, offer_summary
from shopday.planning.questions.plan_changes import DeliveryMove
from shopday.shop import parse_moment
from shopday.text.times import date_text

NOW = dt.datetime(2026, 12, 2, 10, 5, tzinfo=dt.UTC)


@pytest.mark.parametrize(
    ("typed", "date", "minute"),
    [
        ("14:00", dt.date(2026, 12, 2), 840),
        ("thu 10:30", dt.date(2026, 12, 3), 630),
        ("tomorrow", dt.date(2026, 12, 3), None),
        ("wed", dt.date(2026, 12, 2), None),
        ("2027-01-04 9:00", dt.date(2027, 1, 4), 540),
        ("2027-01-04T09:00", dt.date(2027, 1, 4), 540),
    ],
)
def test_moments_are_read_as_people_say_them(typed: str, date: dt.date, minute: int | None) -> None:
    assert parse_moment.parse_moment(typed, NOW) == (date, minute)


@pytest.mark.parametrize("typed", ["", "25:00", "soon", "2026-13-01"])
def test_a_wrong_moment_is_refused_with_what_would_be_right(typed: str) -> None:
    with pytest.raises(ValueError, match="14:00"):
        parse_moment.parse_moment(typed, NOW)


@pytest.mark.parametrize(
    ("typed", "date"),
    [
        ("18 Dec", dt.date(2026, 12, 18)),
        ("Fri 18 Dec", dt.date(2026, 12, 18)),
        ("Fri, 18 December", dt.date(2026, 12, 18)),
        ("18th of Dec.", dt.date(2026, 12, 18)),
        ("18.12.", dt.date(2026, 12, 18)),
        ("18.12.2026", dt.date(2026, 12, 18)),
        ("Dec 18", dt.date(2026, 12, 18)),
        ("December 18, 2026", dt.date(2026, 12, 18)),
        ("12-18", dt.date(2026, 12, 18)),
        ("2026-12-18", dt.date(2026, 12, 18)),
        ("fri", dt.date(2026, 12, 4)),
        ("Friday", dt.date(2026, 12, 4)),
        ("today", dt.date(2026, 12, 2)),
        ("yesterday", dt.date(2026, 12, 1)),
        ("in 2 weeks", dt.date(2026, 12, 16)),
        ("in a week", dt.date(2026, 12, 9)),
        ("3w", dt.date(2026, 12, 23)),
        ("10 days", dt.date(2026, 12, 12)),
        ("in 3 months", dt.date(2027, 3, 2)),
        ("5 workdays", dt.date(2026, 12, 9)),  # Thu 3, Fri 4, Mon 7, Tue 8, Wed 9
        ("1 Dec", dt.date(2027, 12, 1)),  # gone for this year, and Wed 1 Dec is the coming one
        ("Tue 1 Dec", dt.date(2026, 12, 1)),  # the one of this year, which the app writes so
        ("29 Feb", dt.date(2028, 2, 29)),
        ("beginning of March", dt.date(2027, 3, 1)),
        ("mid March", dt.date(2027, 3, 15)),
        ("mid-December", dt.date(2026, 12, 15)),
        ("end of January", dt.date(2027, 1, 31)),
        ("end Dec.", dt.date(2026, 12, 31)),
        ("end of Feb 2028", dt.date(2028, 2, 29)),
        ("end of the month", dt.date(2026, 12, 31)),
        ("middle of next month", dt.date(2027, 1, 15)),
    ],
)
def test_days_are_read_as_people_write_them(typed: str, date: dt.date) -> None:
    assert parse_moment.parse_day(typed, NOW.date()) == date


@pytest.mark.slow
@given(st.dates(dt.date(2024, 1, 1), dt.date(2031, 12, 31)), st.integers(-400, 400))
def test_a_day_is_read_as_the_app_writes_it(today: dt.date, ahead: int) -> None:
    date = today + dt.timedelta(days=ahead)
    assert parse_moment.parse_day(date_text(date, today), today) == date


@pytest.mark.parametrize(
    "typed",
    ["", "soon", "31 Apr", "18/12", "13-40", "12", "Dec", "thu 18", "in weeks", "end of", "end of Foo"],
)
def test_a_wrong_day_is_refused_with_what_would_be_right(typed: str) -> None:
    with pytest.raises(ValueError, match="18 Dec, Fri"):
        parse_moment.parse_day(typed, NOW.date())


def test_a_wrong_weekday_of_a_date_is_refused() -> None:
    with pytest.raises(ValueError, match="18 Dec 2026 is a Friday"):
        parse_moment.parse_day("Thu 18 Dec", NOW.date())


def move(days: int, promise: dt.date | None = None, slips: bool = False) -> DeliveryMove:
    return DeliveryMove("desk", "Desk [ash]", NOW, NOW + dt.timedelta(days=days), promise, slips)


def test_a_move_is_a_sentence_in_days() -> None:
    assert move_sentence(move(2), NOW.date()).plain == "› Desk [ash]: 2 days later, to Fri 4 Dec"
    assert move_sentence(move(-1), NOW.date()).plain == "‹ Desk [ash]: 1 day earlier, to Tue 1 Dec"


def test_a_promise_that_slips_is_named() -> None:
    told = move_sentence(move(2, dt.date(2026, 12, 3), slips=True), NOW.date()).plain
    assert told.endswith("; its promise of Thu 3 Dec SLIPS")
    summary = move_summary([move(1), move(2, dt.date(2026, 12, 3), slips=True)])
    assert summary == "! Desk [ash] SLIPS its promise: 2 days later, and 1 more move."


def test_an_offer_names_what_is_won_and_who_comes_later_for_it() -> None:
    stool = move(3, dt.date(2026, 12, 9))._replace(title="Stool")
    assert offer_summary([move(-4), stool]) == "Desk [ash]: 4 days earlier. For it: Stool 3 days later."
    bench, chest = stool._replace(title="Bench"), move(1)._replace(title="Chest")
    told = offer_summary([chest, move(-4), bench, move(-1), stool])
    assert told == (
        "Desk [ash]: 4 days earlier, and 1 more move. For it: Bench 3 days later, Stool 3 days later, 1 more later."
    )


def test_a_job_that_comes_later_tells_how_little_is_left_in_hand() -> None:
    stool = move(3, dt.date(2026, 12, 7))._replace(title="Stool", wanted=4)
    assert offer_summary([move(-4), stool]) == (
        "Desk [ash]: 4 days earlier. For it: Stool 3 days later (2 days in hand, wants 4)."
    )
    assert move_sentence(stool, NOW.date()).plain == (
        "› Stool: 3 days later, to Sat 5 Dec (2 days in hand, wants 4)"
    )


def test_no_move_is_a_sentence_too() -> None:
    assert move_summary([]) == "No delivery moves."
