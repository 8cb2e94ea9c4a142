"""How times and names are said, and how moves are told."""

from __future__ import annotations

import datetime as dt

import pytest
from rich.cells import cell_len

from shopday.app import moments, words
from shopday.app.move_words import sentence, summary
from shopday.planning.changes import Move

NOW = dt.datetime(2026, 12, 2, 10, 5, tzinfo=dt.UTC)


@pytest.mark.parametrize(
    "text", ["ab", "木工の机", "🪵🪵🪵", "x" * 300, "שולחן עץ", "a\x1b[2Jb", "[bold]x[/]"]
)
@pytest.mark.parametrize("cells", [1, 2, 7, 40])
def test_fit_fills_exactly_the_cells_and_lets_no_control_through(text: str, cells: int) -> None:
    fitted = words.fit(text, cells)
    assert cell_len(fitted) == cells
    assert "\x1b" not in fitted


def test_control_characters_are_shown() -> None:
    assert words.clean("a\x1b]0;b\x07\n") == "a\\x1b]0;b\\x07\\n"


@pytest.mark.parametrize(
    ("moment", "said"),
    [
        (dt.datetime(2026, 12, 2, 15, 0, tzinfo=dt.UTC), "15:00"),
        (dt.datetime(2026, 12, 3, 9, 5, tzinfo=dt.UTC), "tomorrow 9:05"),
        (dt.datetime(2026, 12, 7, 9, 0, tzinfo=dt.UTC), "Mon 9:00"),
        (dt.datetime(2026, 12, 10, 9, 0, tzinfo=dt.UTC), "Thu 10 Dec 9:00"),
        (dt.datetime(2027, 1, 4, 9, 0, tzinfo=dt.UTC), "Mon 4 Jan 2027 9:00"),
    ],
)
def test_moments_are_said_from_now(moment: dt.datetime, said: str) -> None:
    assert words.when(moment, NOW) == said


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
    assert moments.moment(typed, NOW) == (date, minute)


@pytest.mark.parametrize("typed", ["", "25:00", "soon", "2026-13-01"])
def test_what_is_no_moment_says_what_would_be(typed: str) -> None:
    with pytest.raises(ValueError, match="14:00"):
        moments.moment(typed, NOW)


def move(days: int, promise: dt.date | None = None, slips: bool = False) -> Move:
    return Move("desk", "Desk [ash]", NOW, NOW + dt.timedelta(days=days), promise, slips)


def test_a_move_is_a_sentence_in_days() -> None:
    assert sentence(move(2), NOW.date()).plain == "› Desk [ash]: 2 days later, to Fri 4 Dec"
    assert sentence(move(-1), NOW.date()).plain == "‹ Desk [ash]: 1 day earlier, to Tue 1 Dec"


def test_a_promise_that_slips_is_named() -> None:
    told = sentence(move(2, dt.date(2026, 12, 3), slips=True), NOW.date()).plain
    assert told.endswith("; its promise of Thu 3 Dec SLIPS")
    assert "1 promise SLIPS" in summary([move(1), move(2, dt.date(2026, 12, 3), slips=True)])


def test_no_move_is_told_as_well() -> None:
    assert summary([]) == "No delivery moves."
