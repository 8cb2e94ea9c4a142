"""The commands that log: each writes one fact down and says what moved."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Callable
from typing import TYPE_CHECKING

from shopday.cli import opening
from shopday.cli.typed import on_day
from shopday.out import json

if TYPE_CHECKING:
    from shopday.journal.facts import Fact
    from shopday.planning.workshop import Workshop


def start(args: Namespace) -> int:
    return _log(args, "start")


def finish(args: Namespace) -> int:
    return _log(args, "finish")


def again(args: Namespace) -> int:
    return _log(args, "again")


def arrived(args: Namespace) -> int:
    return _log(args, "arrived")


def undo(args: Namespace) -> int:
    return _moved(args, lambda shop: shop.undo(), undone=True)


def reading(args: Namespace) -> int:
    from shopday.out.moves_page import reading_line
    from shopday.planning.readings import reading_holds
    from shopday.shop.faults import ShopdayError
    from shopday.shop.quantities import degrees

    shop = opening.workshop(args)
    try:
        celsius = degrees(args.DEGREES.strip())
    except ValueError as error:
        raise ShopdayError(f"shopday reading: {error}") from None
    at = on_day(args.at, shop.now().date())
    minute = shop.minute() if at is None else shop.zone.of(at)
    if minute > shop.minute():
        raise ShopdayError("that time is still to come; log the temperature when it was read")
    fact = shop.journal.append("reading", "", 0, minute, celsius=celsius)
    until = reading_holds(shop, minute)
    if args.json:
        logged = json.fact(fact, shop.zone)
        json.show({"shopday": 1, "logged": logged, "remark": "", "until": json.time(until), "moves": []})
    else:
        opening.show(reading_line(celsius, fact.at, until, shop))
    return 0


def _log(args: Namespace, kind: str) -> int:
    return _moved(args, lambda shop: shop.log(kind, args.ADDRESS, on_day(args.at, shop.now().date())))


def _moved(args: Namespace, act: Callable[[Workshop], Fact], undone: bool = False) -> int:
    """Log it, and compare the plan on the wall before and after."""
    from shopday.planning.changes import moves

    shop = opening.workshop(args)
    before = shop.plan(args.effort)
    fact = act(shop)
    after = shop.plan(args.effort)
    moved, remark = moves(before, after), "" if undone else shop.remark(fact)
    if args.json:
        logged = {"kind": "undo", "of": json.fact(fact, shop.zone)} if undone else json.fact(fact, shop.zone)
        json.show({"shopday": 1, "logged": logged, "remark": remark, "moves": list(map(json.move, moved))})
    else:
        from shopday.out.moves_page import logged_page

        opening.show(logged_page(shop, after, fact, moved, remark, undone))
    return opening.status(after)
