"""The commands that export the plan: calendar, sheet, note, csv, schema, completion."""

from __future__ import annotations

import sys
import time
from argparse import Namespace
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from shopday.cli import shop_access
from shopday.cli.paper_target import CALENDAR, PAGE, STDOUT, write_paper
from shopday.cli.progress_line import last_odds
from shopday.cli.run import DONE
from shopday.export import answers_json
from shopday.shop.faults import ShopdayError, suggest
from shopday.text.safe import clean

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop
    from shopday.planning.plan import Plan

SCHEMAS = Path(answers_json.__file__).parent / "schemas"

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
"""The commands that share one schema."""

LOOK_AGAIN = 2.0
"""Seconds between checks for changes."""


def calendar_command(args: Namespace) -> int:
    if args.follow and args.json:
        raise ShopdayError(
            "shopday calendar: --follow writes again and again, --json answers once", "leave one out"
        )
    shop = shop_access.open_shop(args)
    plan = _tell_calendar(args, shop)
    for _ in _changes(shop) if args.follow else ():
        plan = _tell_calendar(args, shop)
    return shop_access.status(plan)


def _tell_calendar(args: Namespace, shop: OpenShop) -> Plan:
    """Write the calendar. It is remembered as told only if it could be written."""
    from shopday.export.calendar_memory import write_memory
    from shopday.export.ical import icalendar

    plan = shop_access.kept_plan(shop, args.effort)
    text, memory = icalendar(shop, plan)
    if args.FILE or not args.json:
        write_paper(args.FILE or STDOUT, text, CALENDAR, shop.path)
    if args.json:
        answers_json.moment_json({"shopday": 1, "text": text.decode(), "written": args.FILE})
    write_memory(shop.path, memory)
    return plan


def _changes(shop: OpenShop) -> Iterator[None]:
    """Yield whenever something was written. A fault in a file is reported once, and the file as it was stays valid
    until it is corrected."""
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
    from shopday.export.sheet_text import as_text

    if args.week:
        from shopday.export.week_sheet import week_sheet as made
    else:
        from shopday.export.day_sheet import day_sheet as made
    shop = shop_access.open_shop(args)
    plan = shop_access.kept_plan(shop, args.effort)
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
    from shopday.export.customer_note import customer_note, wants_odds

    shop = shop_access.open_shop(args)
    plan = shop_access.kept_plan(shop, args.effort)
    safe = None
    if wants_odds(plan, args.JOB):
        from shopday.planning.odds.kept_odds import safe_delivery

        safe = safe_delivery(shop, plan, args.JOB, last_odds)
    said = customer_note(shop, plan, args.JOB, safe)
    if args.json:
        answers_json.moment_json({"shopday": 1, "job": args.JOB, "text": said})
    else:
        print(said)
    return shop_access.status(plan)


def schema_command(args: Namespace) -> int:
    """Print a schema; without a name, the names of all schemas."""
    known = {file.stem: file for file in SCHEMAS.glob("*.json")}
    if not args.NAME:
        print("\n".join(sorted(known)))
        return DONE
    name = "logged" if args.NAME in LOGGING else args.NAME
    if name not in known:
        raise ShopdayError(
            f"there is no schema {args.NAME!r}",
            suggest(args.NAME, sorted(known), "`shopday schema` lists them"),
        )
    print(known[name].read_text("utf-8"), end="")
    return DONE
