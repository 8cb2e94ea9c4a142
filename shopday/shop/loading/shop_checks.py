"""Checks across the fields of shop.toml and materials.toml."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from typing import Any
from zoneinfo import available_timezones

from shopday.shop.days_out import overlapping, said
from shopday.shop.faults import Fault, suggest
from shopday.shop.loading.recurrence import check_rule
from shopday.shop.loading.tolerant_validation import SourceFile
from shopday.shop.loading.toml_positions import Path
from shopday.shop.models import Person, Shop
from shopday.shop.note_template import PLACES, unknown_places
from shopday.shop.time_zones import is_zone
from shopday.text.wrong_input import wrong_and_right

ShopSource = SourceFile[Shop]


def shop_faults(source: ShopSource, shop: Shop) -> Iterator[Fault]:
    yield from _zone(source, shop)
    yield from _note(source, shop)
    for group, things in (("people", shop.people), ("stations", shop.stations), ("gear", shop.gear)):
        yield from twice(source, (group,), [thing.id for thing in things], group)
    yield from _station_or_gear(source, shop)
    yield from _calendar(source, shop)
    yield from _people(source, shop)


def twice(source: SourceFile[Any], path: Path, ids: Iterable[str], what: str) -> Iterator[Fault]:
    """A fault for each id that occurs a second time."""
    seen: set[str] = set()
    for index, name in enumerate(ids):
        if name in seen and not source.mended.is_touched((*path, index, "id")):
            wrong = f"`{name}` is there twice among {what}"
            yield source.fault((*path, index, "id"), wrong, "give each an id of its own")
        seen.add(name)


def supply_faults(source: ShopSource, shop: Shop, materials: Collection[str]) -> Iterator[Fault]:
    """Faults in prices and stock: materials that are not in the book, and tins that expired before they were opened."""
    named: list[tuple[Path, str]] = [(("prices", "litre", id), id) for id in shop.prices.litre]
    named += [(("stock", n, "material"), tin.material) for n, tin in enumerate(shop.stock)]
    for path, id in named:
        if id not in materials:
            right = suggest(id, materials, "describe it in materials.toml")
            yield source.fault(path, f"no material `{id}`", right)
    for n, tin in enumerate(shop.stock):
        if tin.opened is not None and tin.expires is not None and tin.expires < tin.opened:
            wrong = f"it expires {tin.expires}, and was opened {tin.opened}"
            yield source.fault(("stock", n, "expires"), wrong, "the earlier day is that of opening")


def _zone(source: ShopSource, shop: Shop) -> Iterator[Fault]:
    if not is_zone(shop.timezone):
        right = suggest(shop.timezone, sorted(available_timezones()), "write it as Europe/Berlin")
        yield source.fault(("timezone",), f"no time zone `{shop.timezone}`", right)


def _note(source: ShopSource, shop: Shop) -> Iterator[Fault]:
    for name in unknown_places(shop.note):
        right = suggest(name, PLACES, f"there is {', '.join(f'{{{place}}}' for place in PLACES)}")
        yield source.fault(("note",), f"nothing is known to put in for {{{name}}}", right)


def _station_or_gear(source: ShopSource, shop: Shop) -> Iterator[Fault]:
    stations = {station.id for station in shop.stations}
    for index, gear in enumerate(shop.gear):
        if gear.id in stations:
            wrong = f"`{gear.id}` is a station and a piece of gear"
            yield source.fault(("gear", index, "id"), wrong, "give one of them another id")


def _calendar(source: ShopSource, shop: Shop) -> Iterator[Fault]:
    for index, closed in enumerate(shop.closed):
        if closed.last is not None and closed.last < closed.first:
            wrong = f"closed from {closed.first} to {closed.last}, which is earlier"
            yield source.fault(("closed", index, "to"), wrong, "the earlier day comes first")
    seen = set()
    for index, day in enumerate(shop.open):
        if day.on in seen and not source.mended.is_touched(("open", index)):
            yield source.fault(
                ("open", index, "on"), f"{day.on} is open twice", "put its hours into one [[open]]"
            )
        seen.add(day.on)


def _people(source: ShopSource, shop: Shop) -> Iterator[Fault]:
    makers = [person for person in shop.people if person.role == "maker"]
    if not makers and not source.mended.is_touched(("people",)):
        yield source.fault(
            ("people",), "nobody is a maker, who can lead a step", 'give one person role = "maker"'
        )
    for i, person in enumerate(shop.people):
        for j, also in enumerate(person.also):
            path = ("people", i, "also", j, "rule")
            try:
                check_rule(also.rule, also.first)
            except ValueError as error:
                wrong, right = wrong_and_right(error)
                yield source.fault(path, f"`rule`: {wrong}", right)
        yield from _out(source, ("people", i, "out"), person)


def _out(source: ShopSource, path: Path, person: Person) -> Iterator[Fault]:
    for place, out in enumerate(person.out):
        if out.end < out.first:
            wrong = f"out from {out.first} to {out.end}, which is earlier"
            yield source.fault((*path, place, "to"), wrong, "the earlier day comes first")
        if out.hours == ():
            right = "leave `hours` out for the whole day"
            yield source.fault((*path, place, "hours"), "`hours` names none", right)
    if source.mended.is_touched(path):
        return
    for first, second in overlapping(person.out):
        one, other = said(person.out[first]), said(person.out[second])
        wrong = f"{person.name or person.id} is out twice at a time, {one} and {other}"
        yield source.fault((*path, second), wrong, "make them one, or part them")
