"""The command about people: who is not in, and when."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING

from shopday.cli import opening
from shopday.out import json
from shopday.shop.faults import ShopdayError, suggest

if TYPE_CHECKING:
    from shopday.planning.workshop import Workshop
    from shopday.shop.models import Out, Person


def out(args: Namespace) -> int:
    """Write down that a person is not in, or with --remove that they are, and say what moves."""
    from shopday.planning.changes import moves
    from shopday.shop.models import Out

    shop = opening.workshop(args)
    person, today = _person(shop, args.PERSON), shop.now().date()
    first = args.FROM(today, today) if args.FROM else today
    last = args.TO(today, first) if args.TO else first
    if last < first:
        raise ShopdayError(f"shopday out: {last} comes before {first}; the earlier day comes first")
    meant = Out(first=first, last=last if last > first else None, hours=args.hours, why=args.why)
    before = shop.plan(args.effort)
    (_in_again if args.remove else _not_in)(shop, person, meant)
    shop.refresh()
    after = shop.plan(args.effort)
    moved = moves(before, after)
    if args.json:
        json.show(json.out(_person(shop, person.id), moved))
    else:
        from shopday.out.moves_page import out_page

        opening.show(out_page(person, meant, args.remove, after, moved))
    return opening.status(after)


def _person(shop: Workshop, name: str) -> Person:
    """By id, else by name as people say it. Raises ShopdayError."""
    people = shop.folder.shop.people
    said = name.strip().casefold()
    found = [person for person in people if person.id == said]
    found = found or [person for person in people if person.name.strip().casefold() == said]
    if len(found) > 1:
        ids = " or ".join(person.id for person in found)
        raise ShopdayError(f"shopday out: there are several called {name!r}; say {ids}")
    if not found:
        right = suggest(name, [person.label for person in people])
        raise ShopdayError(f"shopday out: nobody here is called {name!r}; {right}")
    return found[0]


def _not_in(shop: Workshop, person: Person, out: Out) -> None:
    from shopday.shop.days_out import overlap, said
    from shopday.shop.folder import SHOP_FILE
    from shopday.shop.rendering import plain
    from shopday.shop.writing import add_entry

    if there := next((other for other in person.out if overlap(other, out)), None):
        days = f"{there.first} {there.end}" if there.end > there.first else f"{there.first}"
        right = f"`shopday out {person.id} {days} --remove` takes that out"
        raise ShopdayError(f"{person.label} is out {said(there)} already; {right}")
    add_entry(shop.path / SHOP_FILE, ("people", person.id, "out"), plain(out))


def _in_again(shop: Workshop, person: Person, out: Out) -> None:
    from shopday.shop.days_out import said
    from shopday.shop.folder import SHOP_FILE
    from shopday.shop.writing import end_out

    if out.hours or out.why:
        raise ShopdayError("shopday out: --remove is for whole days; leave --hours and --why out")
    if not any(other.first <= out.end and out.first <= other.end for other in person.out):
        there = ", and ".join(map(said, person.out))
        right = f"out is {there}" if there else "nothing is written of days out"
        raise ShopdayError(f"{person.label} is in then already; {right}")
    end_out(shop.path / SHOP_FILE, person.id, out.first, out.end)
