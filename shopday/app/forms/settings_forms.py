"""What My shop shows: each line of shop.toml, with the form that changes it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence

from shopday.app.dialogs.form_dialog import Blank
from shopday.app.forms import parse_field
from shopday.app.forms.costs_forms import AMOUNT, number_text, price_lines, stock_lines
from shopday.app.forms.settings_line import SettingsLine, day_said
from shopday.shop import typed_values
from shopday.shop.days_out import days_out_text
from shopday.shop.fields import DaySpans
from shopday.shop.models import WEEKDAYS, Closed, Gear, Material, OpenDay, Out, Person, Shop, Station
from shopday.shop.quantities import degrees_text
from shopday.shop.week_hours import parse_week, week_text
from shopday.text.durations import minutes_text
from shopday.text.times import hours_text

Section = tuple[str, list[SettingsLine]]


def settings_sections(shop: Shop, materials: Mapping[str, Material], today: dt.date) -> Iterator[Section]:
    yield "The shop", [_shop(shop)]
    yield "Hours", [_hours(day, shop.hours.get(day, ())) for day in WEEKDAYS]
    yield (
        "Days off",
        [*(_closed(c, i, today) for i, c in enumerate(shop.closed)), _closed(None, len(shop.closed), today)],
    )
    yield (
        "Other hours on a date",
        [*(_open(o, i, today) for i, o in enumerate(shop.open)), _open(None, len(shop.open), today)],
    )
    yield "People", [*_people(shop.people, today), _person(None, len(shop.people))]
    yield (
        "Stations",
        [*(_station(s, i) for i, s in enumerate(shop.stations)), _station(None, len(shop.stations))],
    )
    yield (
        "Gear that gets tied up",
        [*(_gear(g, i) for i, g in enumerate(shop.gear)), _gear(None, len(shop.gear))],
    )
    yield "Rules and temperature", [_rules(shop), _temperature(shop)]
    yield "Prices", price_lines(shop.prices, materials)
    yield "Stock that goes off", stock_lines(shop.stock, materials, today)


def _shop(shop: Shop) -> SettingsLine:
    blanks = [
        Blank("name", "Name", shop.name),
        Blank("timezone", "Time zone", shop.timezone, "America/Denver"),
        Blank("units", "Units", shop.units, pickable=(("metric", "metric"), ("imperial", "imperial"))),
        Blank(
            "humidity",
            "Humidity, %",
            f"{shop.humidity or 0:.0f}" * (shop.humidity is not None),
            "45, or empty",
            typed_values.field_whole(1, 99),
        ),
    ]
    return SettingsLine(shop.name, shop.timezone, blanks)


def _spans(spans: DaySpans) -> str:
    return ", ".join(map(hours_text, spans))


def _hours(day: str, spans: DaySpans) -> SettingsLine:
    blank = Blank(
        day, day.capitalize(), _spans(spans), "8:00-12:00, 12:45-17:00, or empty", typed_values.field_hours
    )
    return SettingsLine(day.capitalize(), _spans(spans) or "off", [blank], "hours")


def _closed(closed: Closed | None, place: int, today: dt.date) -> SettingsLine:
    blanks = [
        Blank(
            "from",
            "From",
            day_said(closed.first if closed else None, today),
            "24 Dec, Fri, tomorrow",
            parse_field.field_day(today),
        ),
        Blank(
            "to",
            "To, both included",
            day_said(closed.last if closed else None, today),
            "empty: one day",
            parse_field.field_day(today),
        ),
        Blank("why", "Why", closed.why if closed else "", "holiday, ill"),
    ]
    if closed is None:
        return SettingsLine("+ another day off", "", blanks, "closed", place, new=True)
    until = f" to {day_said(closed.last, today)}" if closed.last else ""
    return SettingsLine(f"{day_said(closed.first, today)}{until}", closed.why, blanks, "closed", place)


def _open(day: OpenDay | None, place: int, today: dt.date) -> SettingsLine:
    blanks = [
        Blank(
            "on", "On", day_said(day.on if day else None, today), "19 Dec, Sat", parse_field.field_day(today)
        ),
        Blank("hours", "Hours", _spans(day.hours) if day else "", "9:00-15:00", typed_values.field_hours),
    ]
    if day is None:
        return SettingsLine("+ another date", "", blanks, "open", place, new=True)
    return SettingsLine(day_said(day.on, today), _spans(day.hours), blanks, "open", place)


def _people(people: Sequence[Person], today: dt.date) -> Iterator[SettingsLine]:
    """Each person, followed by the times when they are out."""
    for place, person in enumerate(people):
        yield _person(person, place)
        yield from (_out(person, out, n, today) for n, out in enumerate(person.out))
        yield _out(person, None, len(person.out), today)


def _out(person: Person, out: Out | None, place: int, today: dt.date) -> SettingsLine:
    blanks = [
        Blank(
            "from",
            "From",
            day_said(out.first if out else None, today),
            "1 Dec, Tue, tomorrow",
            parse_field.field_day(today),
        ),
        Blank(
            "to",
            "To, both included",
            day_said(out.last if out else None, today),
            "empty: one day",
            parse_field.field_day(today),
        ),
        Blank(
            "hours",
            "Only then",
            _spans((out.hours or ()) if out else ()),
            "9:00-12:00; empty: all day",
            typed_values.field_hours,
        ),
        Blank("why", "Why", out.why if out else "", "ill, holiday"),
    ]
    if out is None:
        return SettingsLine(
            f"+ {person.label} is not in", "", blanks, "out", place, new=True, owner=person.id
        )
    return SettingsLine(
        f"{person.label} is not in",
        f"{days_out_text(out, today)}{f', {out.why}' if out.why else ''}",
        blanks,
        "out",
        place,
        owner=person.id,
    )


def _person(person: Person | None, place: int) -> SettingsLine:
    role = Blank(
        "role",
        "Role",
        person.role if person else "",
        "maker leads, helper lends a hand",
        pickable=(("maker", "maker: can lead a step"), ("helper", "helper: lends a hand")),
    )
    hours = week_text(person.hours) if person and person.hours is not None else ""
    blanks = [
        Blank("name", "Name", person.name if person else ""),
        role,
        Blank("hours", "Own hours", hours, "Mon-Fri 8:00-12:00; empty: shop's", parse_week),
        Blank(
            "rate",
            "An hour costs",
            number_text(person.rate if person else None),
            "55; empty: the shop's price",
            AMOUNT,
        ),
    ]
    if person is None:
        return SettingsLine("+ another person", "", blanks, "people", place, new=True, named=True)
    own = hours or "the shop's hours"
    costs = "" if person.rate is None else f", {person.rate:.2f} an hour"
    return SettingsLine(
        person.label, f"{person.role}, {own}{costs}", blanks, "people", place, owner=person.id
    )


def _station(station: Station | None, place: int) -> SettingsLine:
    at = station or Station(id="x")
    blanks = [
        Blank("name", "Name", at.name),
        Blank("count", "How many", str(at.count), "", typed_values.field_whole(1, 1000)),
        Blank("noisy", "Noisy", _yes(at.noisy), "", parse_field.field_yes_no, (("yes", "yes"), ("no", "no"))),
        Blank("dusty", "Dusty", _yes(at.dusty), "", parse_field.field_yes_no, (("yes", "yes"), ("no", "no"))),
        Blank("room", "Room", at.room),
    ]
    if station is None:
        return SettingsLine("+ another station", "", blanks, "stations", place, new=True, named=True)
    traits = [
        str(at.count),
        *(["noisy"] if at.noisy else []),
        *(["dusty"] if at.dusty else []),
        f"room {at.room}",
    ]
    return SettingsLine(at.name or at.id, ", ".join(traits), blanks, "stations", place)


def _yes(value: bool) -> str:
    return "yes" if value else "no"


def _gear(gear: Gear | None, place: int) -> SettingsLine:
    blanks = [
        Blank("name", "Name", gear.name if gear else ""),
        Blank("count", "How many", str(gear.count) if gear else "", "8", typed_values.field_whole(0, 1000)),
    ]
    if gear is None:
        return SettingsLine("+ more gear", "", blanks, "gear", place, new=True, named=True)
    return SettingsLine(gear.name or gear.id, str(gear.count), blanks, "gear", place)


def _rules(shop: Shop) -> SettingsLine:
    rules = shop.rules
    noise = hours_text(rules.noise) if rules.noise else ""
    stretch, settles = minutes_text(rules.shortest_stretch), minutes_text(rules.dust_settles)
    blanks = [
        Blank("shortest_stretch", "Shortest stretch", stretch, "20m", parse_field.field_duration),
        Blank("dust_settles", "Dust settles in", settles, "45m", parse_field.field_duration),
        Blank("noise", "Noise only", noise, "7:30-19:00, or empty", typed_values.field_span),
    ]
    said = (
        f"no start with less than {stretch} left; dust settles in {settles}; noise {noise or 'at any time'}"
    )
    return SettingsLine("Rules", said, blanks, "rules")


def _temperature(shop: Shop) -> SettingsLine:
    day = degrees_text(shop.temperature.day) if shop.temperature else ""
    night = degrees_text(shop.temperature.night) if shop.temperature else ""
    blanks = [
        Blank("day", "Opening to closing", day, "20C or 68F", parse_field.field_degrees),
        Blank("night", "Otherwise", night, "12C or 54F", parse_field.field_degrees),
    ]
    return SettingsLine(
        "Temperature",
        f"{day} from opening to closing, {night} otherwise" if day else "not told",
        blanks,
        "temperature",
    )
