"""The commands that carry the plan out of the terminal: calendar, sheet, note, csv, schema, completion."""

from __future__ import annotations

import sys
import time
from argparse import Namespace
from collections.abc import Iterator
from importlib import resources
from importlib.resources.abc import Traversable
from typing import TYPE_CHECKING

from shopday.cli import shop_access
from shopday.cli.paper_target import CALENDAR, PAGE, STDOUT, write_paper
from shopday.cli.run import DONE
from shopday.export import answers_json
from shopday.shop.faults import ShopdayError, suggest
from shopday.text.safe import clean

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop
    from shopday.planning.plan import Moment, Plan

LOGGING = (
    "start",
    "pause",
    "finish",
    "skip",
    "again",
    "arrived",
    "tested",
    "moisture",
    "ordered",
    "asked",
    "undo",
    "redo",
    "reading",
)
"""Commands with one schema."""

LOOK_AGAIN = 2.0
"""Seconds between two looks for changes."""


def calendar_command(args: Namespace) -> int:
    from shopday.export.ical import icalendar as made

    if args.follow and args.json:
        raise ShopdayError(
            "shopday calendar: --follow writes again and again, --json answers once", "leave one out"
        )
    shop = shop_access.open_shop(args)
    plan = shop.plan(args.effort)
    text = made(shop, plan)
    if args.FILE or not args.json:
        write_paper(args.FILE or STDOUT, text, CALENDAR, shop.path)
    if args.json:
        answers_json.moment_json({"shopday": 1, "text": text.decode(), "written": args.FILE})
    for _ in _changes(shop) if args.follow else ():
        plan = shop.plan(args.effort)
        write_paper(args.FILE or STDOUT, made(shop, plan), CALENDAR, shop.path)
    return shop_access.status(plan)


def _changes(shop: OpenShop) -> Iterator[None]:
    """Whenever something was written; a fault in a file is told once, and what it holds stands until it is mended."""
    told = _faults(shop)
    while True:
        time.sleep(LOOK_AGAIN)
        try:
            changed, faults = shop.refresh(), _faults(shop)
        except ShopdayError as error:
            changed, faults = False, str(error).splitlines()
        for fault in faults:
            if fault not in told:
                print(clean(fault), file=sys.stderr)
        told = faults
        if changed:
            yield


def _faults(shop: OpenShop) -> list[str]:
    return [str(fault) for faults in shop.folder.faulty.values() for fault in faults]


def sheet_command(args: Namespace) -> int:
    from shopday.export.day_sheet import as_text
    from shopday.export.day_sheet import day_sheet as made

    shop = shop_access.open_shop(args)
    plan = shop.plan(args.effort)
    found = made(shop, plan)
    if args.html:
        from shopday.export.sheet_html import as_html

        write_paper(args.html, as_html(found).encode(), PAGE, shop.path)
    if args.json:
        answers_json.moment_json({"shopday": 1, "text": as_text(found), "written": args.html})
    elif not args.html:
        print(as_text(found))
    return shop_access.status(plan)


def note_command(args: Namespace) -> int:
    from shopday.export.customer_note import customer_note as made

    shop = shop_access.open_shop(args)
    plan = shop.plan(args.effort)
    said = made(shop, plan, args.JOB, _safe(shop, plan, args.JOB))
    if args.json:
        answers_json.moment_json({"shopday": 1, "job": args.JOB, "text": said})
    else:
        print(said)
    return shop_access.status(plan)


def _safe(shop: OpenShop, plan: Plan, job: str) -> Moment | None:
    """The date that holds with 80 %."""
    from shopday.planning.odds.delivery_odds import DRAWS, odds_of

    row = plan.job(job)
    if row is None or row.delivered:
        return None
    *_, odds = filter(None, odds_of(shop, plan, DRAWS))
    found = odds.job(job)
    return None if found is None else found.p80


def csv_command(args: Namespace) -> int:
    from shopday.export.journal_csv import as_csv, entries

    found = entries(shop_access.open_shop(args))
    if args.json:
        answers_json.moment_json({"shopday": 1, "rows": found})
    else:
        sys.stdout.write(as_csv(found).replace("\r\n", "\n"))
    return DONE


def schema_command(args: Namespace) -> int:
    """Without a name: the commands that have one."""
    known = {
        file.name.removesuffix(".json"): file for file in _schemas().iterdir() if file.name.endswith(".json")
    }
    if not args.NAME:
        print("\n".join(sorted(known)))
        return DONE
    name = "logged" if args.NAME in LOGGING else args.NAME
    if name not in known:
        raise ShopdayError(f"there is no schema {args.NAME!r}", suggest(args.NAME, sorted(known)))
    print(known[name].read_text("utf-8"), end="")
    return DONE


def completion_command(args: Namespace) -> int:
    from shopday.cli.completion import script

    if args.SHELL in ("bash", "zsh", "fish"):
        print(script(args.SHELL))
        return DONE
    shop = shop_access.open_shop(args)
    live = [job for job, row in shop.folder.jobs.items() if row.status == "live"]
    steps = [address for address, ref in shop.expansion.steps.items() if ref.job in live]
    people = [person.id for person in shop.folder.shop.people]
    print("\n".join({"steps": steps, "jobs": live, "people": people}[args.SHELL]))
    return DONE


def _schemas() -> Traversable:
    return resources.files("shopday.export") / "schemas"
