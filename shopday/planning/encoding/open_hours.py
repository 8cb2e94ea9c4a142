"""When the shop is open and who is in: local hours as the scheduler's calendars of real minutes."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Hashable, Iterable, Iterator
from functools import cached_property
from itertools import islice, pairwise
from zoneinfo import ZoneInfo

from shopday.planning.plan import Moment
from shopday.scheduler import DAY, Calendar, MinuteSpan, WeekdayClock, merge_spans, spans_overlap
from shopday.shop.models import WEEKDAYS, Only, Person, Shop

Spans = tuple[MinuteSpan, ...]
SpansOfDay = Callable[[dt.date], Spans]

WHOLE_DAY: Spans = ((0, DAY),)

MOST_EXTRA_DAYS = 20_000
"""The most days that one recurrence rule adds; the rest are dropped."""


class Zone:
    """Converts between the shop's local time and whole minutes since the epoch."""

    def __init__(self, name: str) -> None:
        self.tz = ZoneInfo(name)

    def minute(self, date: dt.date, of_day: int = 0) -> int:
        """The minute of a local time; `of_day`: minutes after midnight, 0 to 1440. A time that occurs twice means
        the first; one that a clock change skips is read with the offset before the change."""
        days, of_day = divmod(of_day, DAY)
        hour, minute = divmod(of_day, 60)
        day = date + dt.timedelta(days=days)
        wall = dt.datetime(day.year, day.month, day.day, hour, minute, tzinfo=self.tz)
        return int(wall.timestamp() // 60)

    def of(self, wall: dt.datetime) -> int:
        """The minute of a datetime: local if it has no offset."""
        if wall.tzinfo is not None:
            return int(wall.timestamp() // 60)
        return self.minute(wall.date(), wall.hour * 60 + wall.minute)

    def moment(self, minute: int) -> Moment:
        return dt.datetime.fromtimestamp(minute * 60, self.tz)

    def date(self, minute: int) -> dt.date:
        return self.moment(minute).date()


class ShopDays:
    """The days of a shop, as written: which are closed, and the shop's hours on the others.

    away: further days on which the shop is closed, beyond those in its file.
    """

    def __init__(self, shop: Shop, zone: Zone, away: Iterable[dt.date] = ()) -> None:
        self.shop, self.zone = shop, zone
        self._away = frozenset(away)
        self._week = tuple(shop.hours.get(name, ()) for name in WEEKDAYS)
        self._open = {day.on: day.hours for day in shop.open}

    def is_closed(self, date: dt.date) -> bool:
        """True if nobody works on this day."""
        if date in self._away:
            return True
        return date not in self._open and any(
            c.first <= date <= (c.last or c.first) for c in self.shop.closed
        )

    def shop_day(self, date: dt.date) -> Spans:
        """The shop's hours on a date, in minutes after midnight."""
        if self.is_closed(date):
            return ()
        return self._open[date] if date in self._open else self._week[date.weekday()]

    def opening(self, date: dt.date) -> int | None:
        """The minute at which the shop opens on a date or on the next open day; None if it never opens again."""
        for ahead in range(732):
            day = date + dt.timedelta(days=ahead)
            if spans := self.shop_day(day):
                return self.zone.minute(day, min(start for start, _ in spans))
        return None

    def is_open(self, moment: Moment) -> bool:
        """True if the moment lies within the shop's hours."""
        minute = moment.hour * 60 + moment.minute
        return any(start <= minute < end for start, end in self.shop_day(moment.date()))

    def closing(self, date: dt.date) -> Moment | None:
        """When the shop closes on a date; None on a day off."""
        return max((self._local(date, end) for _, end in self.shop_day(date)), default=None)

    def breaks(self, date: dt.date) -> Iterator[tuple[Moment, Moment]]:
        """The breaks between the shop's hours on a date, as (start, end)."""
        for (_, end), (start, _) in pairwise(sorted(self.shop_day(date))):
            if start > end:
                yield self._local(date, end), self._local(date, start)

    def _local(self, date: dt.date, of_day: int) -> Moment:
        return self.zone.moment(self.zone.minute(date, of_day))


class OpenHours(ShopDays):
    """The calendars of a shop between two dates. Each is built once and known by its index.

    Index 0 is always open.
    """

    def __init__(
        self, shop: Shop, zone: Zone, first: dt.date, last: dt.date, away: Iterable[dt.date] = ()
    ) -> None:
        super().__init__(shop, zone, away)
        self.days = [first + dt.timedelta(days=n) for n in range((last - first).days + 1)]
        self.midnights = [zone.minute(day) for day in self.days]
        self.midnights.append(zone.minute(last + dt.timedelta(days=1)))
        self.calendars: list[Calendar] = [Calendar.always()]
        self._index: dict[Hashable, int] = {}

    @property
    def end(self) -> int:
        """The minute at which every calendar ends."""
        return self.midnights[-1]

    def next_hours(self, minute: int) -> int | None:
        """The next minute after this one at which the shop opens; None if it never does."""
        later = (start for start in self.calendars[self.open].starts if start > minute)
        return next(later, None)

    # ------------------------------------------------------------ calendars

    @cached_property
    def open(self) -> int:
        """The index of the calendar of the shop's hours."""
        return self._keep("open", lambda: self._days(self.shop_day))

    @cached_property
    def daytime(self) -> Calendar:
        """From the first opening of each open day to its last closing: breaks count as day."""

        def whole(date: dt.date) -> Spans:
            spans = self.shop_day(date)
            return ((min(start for start, _ in spans), max(end for _, end in spans)),) if spans else ()

        return self._days(whole)

    def crew(self, people: tuple[str, ...], noisy: bool, only: Only | None) -> int:
        """The index of the calendar on which these people can do such work together."""
        quiet = noisy and self.shop.rules.noise is not None

        def build() -> Calendar:
            both = self._together(people)
            if quiet:
                both &= self.calendars[self.noise]
            return both & self.calendars[self.only(only)] if only else both

        return self._keep(("crew", people, quiet, only), build)

    def person(self, person: Person) -> int:
        if person.hours is None and not person.also and not person.out:
            return self.open
        return self._keep(("person", person.id), lambda: self._days(self._person_day(person)))

    @cached_property
    def noise(self) -> int:
        """The index of the calendar on which noise is allowed."""
        span = self.shop.rules.noise
        return self._keep("noise", lambda: self._days(lambda _: (span,) if span else ()))

    def only(self, only: Only) -> int:
        days = frozenset(WEEKDAYS.index(day) for day in only.days)
        return self._keep(
            ("only", only), lambda: self._days(lambda date: (only.between,) if date.weekday() in days else ())
        )

    def add(self, key: Hashable, build: Callable[[], Calendar]) -> int:
        """The index of a calendar made elsewhere; it is built when first used."""
        return self._keep(("added", key), build)

    @cached_property
    def weekdays(self) -> WeekdayClock:
        """A clock that counts weekdays at the same local time, with the zone's clock changes."""
        edges = [(a, b) for a, b in pairwise(self.midnights) if self._offset(a) != self._offset(b)]
        changes = tuple(self._change(a, b) for a, b in edges)
        return WeekdayClock(changes, (self._offset(self.midnights[0]), *(self._offset(c) for c in changes)))

    def _together(self, people: tuple[str, ...]) -> Calendar:
        known = {person.id: person for person in self.shop.people}
        both = self.calendars[self.person(known[people[0]])]
        for other in people[1:]:
            both &= self.calendars[self.person(known[other])]
        return both

    def _keep(self, key: Hashable, build: Callable[[], Calendar]) -> int:
        if key not in self._index:
            calendar = build()
            self._index[key] = len(self.calendars)
            self.calendars.append(calendar)
        return self._index[key]

    def _days(self, spans: SpansOfDay) -> Calendar:
        """The zone, which is slow, is asked only on days with a clock change."""
        found: list[MinuteSpan] = []
        for date, (midnight, next_one) in zip(self.days, pairwise(self.midnights), strict=True):
            if next_one - midnight == DAY:
                found += [(midnight + start, midnight + end) for start, end in spans(date)]
            else:
                found += [
                    (self.zone.minute(date, start), self.zone.minute(date, end)) for start, end in spans(date)
                ]
        return Calendar.of(found)

    def _person_day(self, person: Person) -> SpansOfDay:
        own = None if person.hours is None else [person.hours.get(name, ()) for name in WEEKDAYS]
        more: dict[dt.date, Spans] = {}
        for also in person.also:
            for date in self._extra_days(also.rule, also.first):
                more[date] = more.get(date, ()) + also.hours

        def spans(date: dt.date) -> Spans:
            if self.is_closed(date):
                return ()
            usual = self.shop_day(date) if own is None else own[date.weekday()]
            found = usual + more[date] if date in more else usual
            for out in person.out:
                if out.first <= date <= out.end:
                    found = _while_in(found, out.hours or WHOLE_DAY)
            return found

        return spans

    def _extra_days(self, rule: str, first: dt.date) -> set[dt.date]:
        from dateutil.rrule import rrulestr  # 20 ms, and few shops have such rules

        text = re.sub(r"(UNTIL=[0-9T]+)Z", r"\1", rule.strip().upper())
        found = rrulestr(text, dtstart=dt.datetime.combine(first, dt.time()))
        days = set()
        for moment in islice(iter(found), MOST_EXTRA_DAYS):
            if moment.date() > self.days[-1]:
                break
            days.add(moment.date())
        return days

    def _offset(self, minute: int) -> int:
        offset = self.zone.moment(minute).utcoffset() or dt.timedelta()
        return int(offset.total_seconds() // 60)

    def _change(self, low: int, high: int) -> int:
        """The minute, between two, at which the offset from UTC changes."""
        old = self._offset(low)
        while high - low > 1:
            middle = (low + high) // 2
            low, high = (middle, high) if self._offset(middle) == old else (low, middle)
        return high


def _while_in(spans: Spans, hours: Spans) -> Spans:
    """The spans of a day without the hours in which somebody is out."""
    edges = [0, *(edge for span in hours for edge in span), DAY]
    return spans_overlap(merge_spans(spans), zip(edges[::2], edges[1::2], strict=True))
