"""Read days and moments as people say them: "18 Dec", "fri", "in 2 weeks", "thu 10:00", "2026-12-03 9:00"."""

from __future__ import annotations

import calendar
import datetime as dt
import re
from collections.abc import Iterable, Iterator
from contextlib import suppress
from itertools import islice

from shopday.shop.models import WEEKDAYS
from shopday.shop.quantities import shown
from shopday.text.times import FAR_OFF, MONTH_NAMES, date_text, month_text, read_clock
from shopday.text.wrong_input import WrongInput

RIGHT_DAY = "write a day as 18 Dec, Fri, tomorrow, in 2 weeks or 2026-12-18"
RIGHT = f"{RIGHT_DAY}, a time as 14:00, or both: Thu 10:00"

_MONTHS = tuple(name.lower() for name in MONTH_NAMES)
_NEAR = {"yesterday": -1, "today": 0, "tomorrow": 1}
_TIME = re.compile(r"(?<!\S)(\d{1,2}:\d\d(?: ?[ap]m)?|\d{1,2} ?[ap]m)(?!\S)", re.ASCII)
_DATE_AND_TIME = re.compile(r"(\d{4}-\d\d-\d\d)t(?=\d)", re.ASCII)
_AHEAD = re.compile(
    r"(?:in )?(\d{1,3}|an?) ?(d|days?|w|wks?|weeks?|months?|workdays?|working days?)", re.ASCII
)
_ABOUT = re.compile(
    r"(?P<which>beginning|begin|start|middle|mid|end)(?: of |-| )(?P<month>(?:the|this|next) month|[a-z]{3,9})\.?"
    r"(?: (?P<year>\d{4}))?",
    re.ASCII,
)
_WRITTEN = tuple(re.compile(pattern, re.ASCII) for pattern in (
    r"(?:(?P<year>\d{4})-)?(?P<month>\d{1,2})-(?P<day>\d{1,2})",
    r"(?P<day>\d{1,2})\. ?(?P<month>\d{1,2})(?:\. ?(?P<year>\d{4})|\.)?",
    r"(?P<day>\d{1,2})(?:st|nd|rd|th|\.)? ?(?:of )?(?P<month>[a-z]{3,9})\.?(?: (?P<year>\d{4}))?",
    r"(?P<month>[a-z]{3,9})\.? ?(?P<day>\d{1,2})(?:st|nd|rd|th)?(?: (?P<year>\d{4}))?",
))  # fmt: skip
"""2026-12-18 and 12-18; 18.12. and 18.12.2026; 18 Dec; Dec 18. Slashes are refused: countries read them differently."""
YEARS = range(2000, 2200)
"""The years that a file may name."""
WEEK, YEAR = dt.timedelta(days=7), dt.timedelta(days=364)
"""YEAR: from so long ago on, a date without a year is not yet past a second time."""
LEAP_YEARS = 9
"""Any this many years in a row contain a 29 February."""


def parse_moment(text: str, now: dt.datetime) -> tuple[dt.date, int | None]:
    """The date, and minutes after midnight if a time was given. Raises WrongInput."""
    plain = _DATE_AND_TIME.sub(r"\1 ", _plain(text))
    times = _TIME.findall(plain)
    said = _plain(_TIME.sub("", plain))
    if not times and not said:
        raise WrongInput("There is nothing here", RIGHT)
    if len(times) > 1:
        raise WrongInput(f"{shown(text)} says two times", RIGHT)
    date = parse_day(said, now.date(), RIGHT) if said else now.date()
    return date, _minute(times[0]) if times else None


def parse_day(text: str, today: dt.date, right: str = RIGHT_DAY) -> dt.date:
    """The date meant on the day `today`; without a year, the next such date. Raises WrongInput."""
    plain = _plain(text)
    found = _near(plain, today) or _ahead(plain, today) or _about(plain, today) or _written(plain, today)
    if found is None:
        raise WrongInput(f"{shown(text)} is no day", right)
    if found.year not in YEARS:
        raise WrongInput(f"{shown(text)} is out of reach", f"years go from {YEARS[0]} to {YEARS[-1]}")
    return found


def parse_last_day(text: str, today: dt.date) -> dt.date:
    """Like `parse_day`, for a day in the past: a weekday, and a date without a year, is the last one."""
    plain, found = _plain(text), parse_day(text, today)
    if found <= today:
        return found
    if weekday_meant(plain) is not None:
        return found - WEEK
    return found if _near(plain, today) or _ahead(plain, today) else parse_day(text, today - YEAR)


def parse_past_day(text: str, today: dt.date) -> dt.date:
    """Like `parse_last_day`; a day to come is refused."""
    found = parse_last_day(text, today)
    if found > today:
        raise WrongInput(f"{date_text(found, today)} is still to come", "write a day as 1 Jun or 2026-06-01")
    return found


def parse_last_of(text: str, today: dt.date, first: dt.date) -> dt.date:
    """Like `parse_day`, for the last day of a stretch: a weekday is the next one from its first day on."""
    return parse_day(text, today if weekday_meant(_plain(text)) is None else first)


def _plain(text: str) -> str:
    return " ".join(text.lower().replace(",", " ").split())


def _minute(typed: str) -> int:
    found = read_clock(typed)
    if found is None:
        raise WrongInput(f"{typed} is no time of day", RIGHT)
    return found.hour * 60 + found.minute


def _near(plain: str, today: dt.date) -> dt.date | None:
    if plain in _NEAR:
        return today + dt.timedelta(days=_NEAR[plain])
    weekday = weekday_meant(plain)
    return None if weekday is None else today + dt.timedelta(days=(weekday - today.weekday()) % 7)


def weekday_meant(word: str) -> int | None:
    """The number of a day of the week, by its name or how that begins; None if it is none."""
    return _place(word.lower(), WEEKDAYS, 2)


def _place(word: str, names: tuple[str, ...], least: int) -> int | None:
    """The index of the name that begins with the word; None if there is none, or the word has fewer than `least`
    letters."""
    word = word.removesuffix(".")
    places = (place for place, name in enumerate(names) if len(word) >= least and name.startswith(word))
    return next(places, None)


def _ahead(plain: str, today: dt.date) -> dt.date | None:
    """ "in 2 weeks", "3w", "10 workdays"."""
    match = _AHEAD.fullmatch(plain)
    if match is None:
        return None
    count, unit = int(match[1]) if match[1].isdigit() else 1, match[2]
    if unit.startswith("month"):
        return _months_on(today, count)
    if unit.startswith("work"):
        return _workdays_on(today, count)
    return today + dt.timedelta(days=count * (7 if unit.startswith("w") else 1))


def _months_on(today: dt.date, count: int) -> dt.date:
    year, month = divmod(today.year * 12 + today.month - 1 + count, 12)
    return dt.date(year, month + 1, min(today.day, calendar.monthrange(year, month + 1)[1]))


def _workdays_on(today: dt.date, count: int) -> dt.date:
    date = today
    while count:
        date += dt.timedelta(days=1)
        count -= date.weekday() < 5
    return date


def _about(plain: str, today: dt.date) -> dt.date | None:
    """ "beginning of March", "mid March", "end of next month": the 1st, the 15th, the last day. Without a
    year, the next."""
    match = _ABOUT.fullmatch(plain)
    if match is None:
        return None
    if match["month"].endswith(" month"):
        first = _months_on(today.replace(day=1), 1 if match["month"].startswith("next") else 0)
        return _about_month(match["which"], first)
    month = _month(match["month"])
    if month is None:
        return None
    years = [int(match["year"])] if match["year"] else [today.year, today.year + 1]
    dates = [_about_month(match["which"], dt.date(year, month, 1)) for year in years if year in YEARS]
    return next((date for date in dates if match["year"] or date >= today), None)


def _about_month(which: str, first: dt.date) -> dt.date:
    if which.startswith("mid"):
        return first.replace(day=15)
    return first.replace(day=calendar.monthrange(first.year, first.month)[1]) if which == "end" else first


def _written(plain: str, today: dt.date) -> dt.date | None:
    """A calendar date, with or without its weekday and its year."""
    first, _, rest = plain.partition(" ")
    weekday = weekday_meant(first) if rest else None
    match = next(filter(None, (p.fullmatch(plain if weekday is None else rest) for p in _WRITTEN)), None)
    month = _month(match["month"]) if match else None
    if match is None or month is None:
        return None
    dates = _dates(match["year"], month, int(match["day"]), today)
    if not dates or weekday is None:
        return next(iter(dates), None)
    return _on_weekday(dates, weekday)


def _month(said: str) -> int | None:
    if said.isdigit():
        return int(said)
    place = _place(said, _MONTHS, 3)
    return None if place is None else place + 1


def _dates(year: str | None, month: int, day: int, today: dt.date) -> list[dt.date]:
    """The dates it may mean, the likeliest first. Without a year: the next one, then the past ones that the app
    writes without a year too."""
    if year:
        return list(_valid([int(year)], month, day))
    coming = (d for d in _valid(range(today.year, today.year + LEAP_YEARS), month, day) if d >= today)
    past = (d for d in _valid([today.year, today.year - 1], month, day) if 0 < (today - d).days <= FAR_OFF)
    return [*islice(coming, 1), *past]


def _valid(years: Iterable[int], month: int, day: int) -> Iterator[dt.date]:
    for year in years:
        with suppress(ValueError):
            yield dt.date(year, month, day)


def _on_weekday(dates: list[dt.date], weekday: int) -> dt.date:
    """The first date on that weekday. Raises WrongInput if none is."""
    for date in dates:
        if date.weekday() == weekday:
            return date
    is_on = WEEKDAYS[dates[0].weekday()].capitalize()
    named = f"{dates[0].day} {month_text(dates[0])} {dates[0].year}"
    raise WrongInput(f"{named} is a {is_on}", "leave the weekday out, or name the right one")
