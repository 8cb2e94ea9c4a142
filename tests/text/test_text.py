"""One way to say a time, a date, a length and a name."""

from __future__ import annotations

import ast
import calendar
import datetime as dt
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

import shopday
from shopday.shop import quantities
from shopday.text.cells import bar, cut, fit, wrapped
from shopday.text.durations import DAY, countdown_text, days_text, length_text, minutes_text, work_text
from shopday.text.names import free_slug, in_sentence, pass_label, place_text, slug
from shopday.text.safe import clean
from shopday.text.sentences import both, sentence
from shopday.text.times import (
    MONTH_NAMES,
    WEEKDAY_NAMES,
    date_text,
    from_to,
    hours_text,
    moment_text,
    time_of,
)
from shopday.text.wrong_input import WrongInput, wrong_and_right

NOW = dt.datetime(2026, 12, 2, 10, 5, tzinfo=dt.UTC)
LENGTHS = st.integers(0, 400 * DAY)
DATES = st.dates(dt.date(2020, 1, 1), dt.date(2040, 12, 31))


@pytest.mark.parametrize(
    ("moment", "said"),
    [
        (dt.datetime(2026, 12, 2, 15, 0), "15:00"),
        (dt.datetime(2026, 12, 2, 0, 0), "0:00"),
        (dt.datetime(2026, 12, 3, 9, 5), "Thu 3 Dec 9:05"),
        (dt.datetime(2027, 1, 4, 9, 0), "Mon 4 Jan 9:00"),
        (dt.datetime(2027, 12, 3, 9, 0), "Fri 3 Dec 2027 9:00"),
        (dt.datetime(2025, 12, 3, 9, 0), "Wed 3 Dec 2025 9:00"),
    ],
)
def test_a_moment_is_told_relative_to_now(moment: dt.datetime, said: str) -> None:
    assert moment_text(moment.replace(tzinfo=dt.UTC), NOW) == said


def test_a_date_stays_in_one_line_where_it_fits() -> None:
    assert wrapped("call by Thu 3 Dec, or ask", 16) == "call by\nThu 3 Dec, or\nask"
    assert wrapped("until Thu 3 Dec 10:50 as planned", 18) == "until\nThu 3 Dec 10:50 as\nplanned"
    assert wrapped("by Thu 3 Dec", 7) == "by Thu\n3 Dec"
    assert (
        wrapped("Safe date: Sat (95 %). It costs 578.58 GBP: work", 18)
        == "Safe date: Sat\n(95 %). It costs\n578.58 GBP: work"
    )
    assert wrapped("Pour the hollows (2 of 3)", 20) == "Pour the hollows\n(2 of 3)"


def test_a_last_line_is_more_than_a_word_if_it_can_be() -> None:
    assert wrapped("planned, on the bench, ready 17:51", 29) == "planned, on the bench,\nready 17:51"
    assert wrapped("fit the backs", 10) == "fit the\nbacks"


def test_days_and_months_are_those_of_the_calendar() -> None:
    """Those of Python's calendar, in the locale of no country."""
    assert list(WEEKDAY_NAMES) == list(calendar.day_abbr)
    assert list(MONTH_NAMES) == list(calendar.month_name)[1:]


@given(DATES, DATES)
def test_a_date_without_its_year_is_the_only_near_one(date: dt.date, today: dt.date) -> None:
    said = date_text(date, today)
    near = [today + dt.timedelta(days=n) for n in range(-300, 301)]
    if not said.endswith(str(date.year)):
        assert [other for other in near if date_text(other, today) == said] == [date]


@given(st.times(), st.times())
def test_clock_times_have_one_shape(start: dt.time, end: dt.time) -> None:
    begins, ends = (dt.datetime.combine(NOW.date(), time) for time in (start, end))
    said = time_of(begins)
    assert re.fullmatch(r"([1-9]?\d):[0-5]\d", said)
    assert dt.time.fromisoformat(said.zfill(5)) == start.replace(second=0, microsecond=0)
    assert from_to(begins, ends) == f"{said}–{time_of(ends)}"
    assert from_to(begins, None) == said


def test_hours_are_told_like_times() -> None:
    assert hours_text((480, 1440)) == "8:00–24:00"


@given(LENGTHS)
def test_a_length_written_to_the_minute_is_read_back(minutes: int) -> None:
    """By the reader of the files."""
    assert quantities.minutes(minutes_text(minutes)) == minutes


@given(LENGTHS)
def test_a_length_has_two_units_at_most_and_is_off_by_half_an_hour_at_most(minutes: int) -> None:
    said = length_text(minutes)
    off = abs(quantities.minutes(said) - minutes)
    assert len(said.split()) <= 2
    assert off == 0 if minutes < DAY else off <= 30


@pytest.mark.parametrize(
    ("minutes", "said"),
    [(0, "0m"), (150, "2h 30m"), (2400, "1d 16h"), (4320, "3d"), (2879, "2d"), (-5, "0m")],
)
def test_lengths_as_people_say_them(minutes: int, said: str) -> None:
    assert length_text(minutes) == said


@pytest.mark.parametrize(
    ("minutes", "said"),
    [
        (0, "0m"),
        (435, "7h 15m"),
        (480, "1 working day"),
        (24 * 60 + 15, "3 working days and 15m"),  # 24 h are three days of 8 h
        (69 * 60, "8 working days and 5h"),  # 8 x 8 h = 64 h
    ],
)
def test_work_is_told_in_hours_and_working_days(minutes: int, said: str) -> None:
    assert work_text(minutes) == said


def test_days_and_seconds_are_counted_in_words() -> None:
    assert (days_text(1), days_text(3), countdown_text(725)) == ("1 day", "3 days", "12m 05s")


@pytest.mark.parametrize(
    ("text", "id"),
    [
        ("Müller bench", "muller-bench"),
        ("  Cherry desk (2) ", "cherry-desk-2"),
        ("木工", ""),
        ("Étagère 12½", "etagere-1212"),
        ("x" * 80, "x" * 60),
    ],
)
def test_ids_are_made_in_one_way(text: str, id: str) -> None:
    assert slug(text) == id


@given(st.text(max_size=90), st.sets(st.sampled_from(["a", "a-2", "new-job", "bench"])))
def test_a_free_id_is_valid_and_not_taken(text: str, taken: set[str]) -> None:
    id = free_slug(text, taken)
    assert re.fullmatch(r"[a-z0-9][a-z0-9-]{0,59}", id)
    assert id not in taken
    assert slug(id) == id


@pytest.mark.parametrize(
    "text", ["ab", "木工の机", "🪵🪵🪵", "x" * 300, "שולחן עץ", "a\x1b[2Jb", "[bold]x[/]"]
)
@pytest.mark.parametrize("cells", [1, 2, 7, 40])
def test_fit_fills_exactly_the_cells_and_lets_no_control_through(text: str, cells: int) -> None:
    assert cell_len(fit(text, cells)) == cells
    assert cell_len(cut(text, cells)) <= cells
    assert "\x1b" not in fit(text, cells)


def test_a_bar_is_full_when_all_is_over() -> None:
    assert (bar(0, 4), bar(0.5, 4), bar(7, 4)) == ("┄┄┄┄", "━━┄┄", "━━━━")


@given(st.text())
def test_nothing_that_steers_a_terminal_is_left(text: str) -> None:
    shown = clean(text)
    assert all(c.isprintable() or c == "\u200d" for c in shown)
    assert clean(shown) == shown


def test_control_characters_are_shown() -> None:
    assert clean("a\x1b]0;b\x07\n") == "a\\x1b]0;b\\x07\\n"


def test_words_are_joined_into_lists_and_sentences() -> None:
    assert (both([]), both("a"), both("abc")) == ("", "a", "a, b and c")
    assert (sentence("so it is"), sentence("Is it?")) == ("So it is.", "Is it?")


def test_names_fit_into_sentences() -> None:
    assert (pass_label("Oil", 1, 1), pass_label("Oil", 2, 3)) == ("Oil", "Oil (2 of 3)")
    assert (place_text("Top", "Desk"), place_text(None, "Desk")) == ("Top of Desk", "Desk")
    assert (in_sentence("Table saw"), in_sentence("MDF jig"), in_sentence("long-clamps")) == (
        "table saw",
        "MDF jig",
        "long clamps",
    )


def test_a_remedy_is_a_field_and_may_hold_a_semicolon() -> None:
    error = WrongInput('"a; b" is no length', 'write "45m"; or "1h"')
    assert wrong_and_right(error) == ('"a; b" is no length', 'write "45m"; or "1h"')
    assert str(error) == '"a; b" is no length; write "45m"; or "1h"'
    assert wrong_and_right(ValueError("odd; so")) == ("odd; so", "")


def raised_errors() -> Iterator[ast.Call]:
    """Every call in the program that makes an error a person can act on."""
    for file in Path(shopday.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in ERRORS:
                yield node


ERRORS = ("ErrorWithRemedy", "JournalError", "ShopdayError", "WrongInput")


def test_no_error_has_its_remedy_in_the_text_of_what_is_wrong() -> None:
    calls = list(raised_errors())
    assert len(calls) > 100
    assert [ast.unparse(call) for call in calls if call.args and "; " in ast.unparse(call.args[0])] == []
