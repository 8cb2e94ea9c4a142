"""The commands that carry the plan out of the terminal: calendar, sheet, note, csv, schema, completion."""

from __future__ import annotations

import sys
import time
from argparse import Namespace
from collections.abc import Iterator
from contextlib import suppress
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import TYPE_CHECKING

from shopday.cli import opening
from shopday.cli.run import DONE
from shopday.out import json
from shopday.shop.faults import ShopdayError, suggest
from shopday.shop.plain import clean

if TYPE_CHECKING:
    from shopday.planning.plan import Moment, Plan
    from shopday.planning.workshop import Workshop

LOGGING = ("start", "pause", "finish", "skip", "again", "arrived", "undo", "redo", "reading")
"""Commands with one schema."""

LOOK_AGAIN = 2.0
"""Seconds between two looks for changes."""


def calendar(args: Namespace) -> int:
    from shopday.out.ical import calendar as made

    shop = opening.workshop(args)
    plan = shop.plan(args.effort)
    if not args.FILE:
        sys.stdout.buffer.write(made(shop, plan))
        return opening.status(plan)
    _write(args.FILE, made(shop, plan))
    for _ in _changes(shop) if args.follow else ():
        plan = shop.plan(args.effort)
        _write(args.FILE, made(shop, plan))
    return opening.status(plan)


def _changes(shop: Workshop) -> Iterator[None]:
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


def _faults(shop: Workshop) -> list[str]:
    return [str(fault) for faults in shop.folder.faulty.values() for fault in faults]


def sheet(args: Namespace) -> int:
    from shopday.out.sheet import as_text
    from shopday.out.sheet import sheet as made

    shop = opening.workshop(args)
    plan = shop.plan(args.effort)
    found = made(shop, plan)
    if args.html:
        from shopday.out.sheet_html import as_html

        _write(args.html, as_html(found).encode())
    elif args.json:
        json.show({"shopday": 1, "text": as_text(found)})
    else:
        print(as_text(found))
    return opening.status(plan)


def note(args: Namespace) -> int:
    from shopday.out.note import note as made

    shop = opening.workshop(args)
    plan = shop.plan(args.effort)
    said = made(shop, plan, args.JOB, _safe(shop, plan, args.JOB))
    if args.json:
        json.show({"shopday": 1, "job": args.JOB, "text": said})
    else:
        print(said)
    return opening.status(plan)


def _safe(shop: Workshop, plan: Plan, job: str) -> Moment | None:
    """The date that holds with 80 %."""
    from shopday.planning.odds import DRAWS, odds_of

    row = plan.job(job)
    if row is None or row.delivered:
        return None
    *_, odds = odds_of(shop, plan, DRAWS)
    found = odds.job(job)
    return None if found is None else found.p80


def csv(args: Namespace) -> int:
    from shopday.out.ledger import as_csv, entries

    found = entries(opening.workshop(args))
    if args.json:
        json.show({"shopday": 1, "rows": found})
    else:
        sys.stdout.write(as_csv(found).replace("\r\n", "\n"))
    return DONE


def schema(args: Namespace) -> int:
    """Without a name: the commands that have one."""
    known = {
        file.name.removesuffix(".json"): file for file in _schemas().iterdir() if file.name.endswith(".json")
    }
    if not args.NAME:
        print("\n".join(sorted(known)))
        return DONE
    name = "logged" if args.NAME in LOGGING else args.NAME
    if name not in known:
        raise ShopdayError(f"there is no schema {args.NAME!r}; {suggest(args.NAME, sorted(known))}")
    print(known[name].read_text("utf-8"), end="")
    return DONE


def completion(args: Namespace) -> int:
    from shopday.cli.completion import script

    if args.SHELL in ("bash", "zsh", "fish"):
        print(script(args.SHELL))
        return DONE
    shop = opening.workshop(args)
    live = [job for job, row in shop.folder.jobs.items() if row.status == "live"]
    steps = [address for address, ref in shop.expansion.steps.items() if ref.job in live]
    people = [person.id for person in shop.folder.shop.people]
    print("\n".join({"steps": steps, "jobs": live, "people": people}[args.SHELL]))
    return DONE


def _schemas() -> Traversable:
    return resources.files("shopday.out") / "schemas"


def _write(name: str, data: bytes) -> None:
    """The old file or the new, never half of one: a phone may be reading it."""
    target = Path(name)
    part = target.with_name(f".{target.name}.part")
    try:
        part.write_bytes(data)
        part.replace(target)
    except OSError as error:
        with suppress(OSError):
            part.unlink()
        reason = (error.strerror or str(error)).lower()
        raise ShopdayError(
            f"{name} could not be written ({reason}); see that its folder is there, can be written and has room"
        ) from None
    print(f"Written: {clean(str(target))}", file=sys.stderr)
