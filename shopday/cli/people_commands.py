"""The command about people: who is out, and when."""

from __future__ import annotations

import datetime as dt
from argparse import Namespace
from typing import TYPE_CHECKING

from shopday.cli import shop_access
from shopday.cli.run import answering
from shopday.cli.typed_times import typed_day
from shopday.export import answers_json
from shopday.shop.faults import ShopdayError, suggest
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop
    from shopday.shop.models import Out, Person


def out_command(args: Namespace) -> int:
    """Note that a person is out, or with --remove that they are in, and tell what moves."""
    from shopday.planning.questions.plan_changes import delivery_moves
    from shopday.shop.models import Out

    shop = shop_access.open_shop(args)
    person, today = _person(shop, args.PERSON), shop.now().date()
    first = typed_day(args, "FROM", today) or today
    last = typed_day(args, "TO", today, first) or first
    if last < first:
        said = f"{date_text(last, today)} comes before {date_text(first, today)}"
        raise ShopdayError(f"shopday out: {said}", "the earlier day comes first")
    meant = Out(first=first, last=last if last > first else None, hours=args.hours, why=args.why)
    before = shop_access.kept_plan(shop, args.effort)
    (_in_again if args.remove else _not_in)(shop, person, meant, today)
    with answering():
        shop.refresh()
        after = shop_access.kept_plan(shop, args.effort)
        moved = delivery_moves(before, after)
        if args.json:
            answers_json.moment_json(answers_json.days_out_json(_person(shop, person.id), moved))
        else:
            from shopday.export.changes_page import out_page

            shop_access.show_answer(out_page(person, meant, args.remove, after, moved))
    return shop_access.status(after)


def _person(shop: OpenShop, name: str) -> Person:
    """The person with this id, else with this name. Raises ShopdayError."""
    people = shop.folder.shop.people
    said = name.strip().casefold()
    found = [person for person in people if person.id == said]
    found = found or [person for person in people if person.name.strip().casefold() == said]
    if len(found) > 1:
        ids = " or ".join(person.id for person in found)
        raise ShopdayError(f"shopday out: there are several called {name!r}", f"say {ids}")
    if not found:
        right = suggest(name, [person.label for person in people])
        raise ShopdayError(f"shopday out: nobody here is called {name!r}", right)
    return found[0]


def _not_in(shop: OpenShop, person: Person, out: Out, today: dt.date) -> None:
    from shopday.shop.days_out import days_out_text, overlapping_days
    from shopday.shop.editing.file_edits import add_entry
    from shopday.shop.editing.toml_format import plain_value
    from shopday.shop.folder import SHOP_FILE

    if there := next((other for other in person.out if overlapping_days(other, out)), None):
        days = f"{there.first} {there.end}" if there.end > there.first else f"{there.first}"
        right = f"`shopday out {person.id} {days} --remove` takes that out"
        raise ShopdayError(f"{person.label} is out {days_out_text(there, today)} already", right)
    add_entry(shop.path / SHOP_FILE, ("people", person.id, "out"), plain_value(out))


def _in_again(shop: OpenShop, person: Person, out: Out, today: dt.date) -> None:
    from shopday.shop.days_out import days_out_text
    from shopday.shop.editing.file_edits import end_out
    from shopday.shop.folder import SHOP_FILE

    if out.hours or out.why:
        raise ShopdayError("shopday out: --remove is for whole days", "leave --hours and --why out")
    if not any(other.first <= out.end and out.first <= other.end for other in person.out):
        there = ", and ".join(days_out_text(other, today) for other in person.out)
        right = f"{person.label} is out {there}" if there else "nothing is written of days out"
        raise ShopdayError(f"{person.label} is in then already", right)
    end_out(shop.path / SHOP_FILE, person.id, out.first, out.end)
