"""The commands that log: each writes one fact down and says what moved."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from shopday.cli import opening
from shopday.cli.typed import on_day
from shopday.out import json
from shopday.shop.faults import ShopdayError

if TYPE_CHECKING:
    from shopday.journal.facts import Fact
    from shopday.planning.plan import Plan
    from shopday.planning.workshop import Workshop


def start(args: Namespace) -> int:
    return _log(args, "start", by=args.by or (), anyway=args.anyway)


def pause(args: Namespace) -> int:
    return _log(args, "pause")


def finish(args: Namespace) -> int:
    return _log(args, "finish")


def skip(args: Namespace) -> int:
    return _log(args, "skip")


def again(args: Namespace) -> int:
    return _log(args, "again")


def arrived(args: Namespace) -> int:
    return _log(args, "arrived")


def undo(args: Namespace) -> int:
    return _moved(args, lambda shop, _: shop.undo(), "undo")


def redo(args: Namespace) -> int:
    return _moved(args, lambda shop, _: shop.redo(), "redo")


def reading(args: Namespace) -> int:
    from rich.console import Group

    from shopday.out.moves_page import reading_line, sentences
    from shopday.planning.changes import moves
    from shopday.planning.readings import reading_holds
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
    before = shop.plan()
    fact = shop.write("reading", "", 0, minute, celsius=celsius)
    after, until = shop.plan(), reading_holds(shop, minute)
    moved = moves(before, after)
    if args.json:
        answer = {"shopday": 1, "logged": json.fact(fact, shop.zone), "remark": "", "until": json.time(until)}
        json.show({**answer, "moves": list(map(json.move, moved))})
    else:
        opening.show(reading_line(celsius, fact.at, until, shop))
        if moved:
            opening.show(Group(*sentences(moved, after.now)))
    return opening.status(after)


def _log(args: Namespace, kind: str, by: Sequence[str] = (), anyway: bool = False) -> int:
    from shopday.planning.readiness import NotReady

    def act(shop: Workshop, before: Plan) -> Fact:
        at = on_day(args.at, shop.now().date())
        try:
            return shop.log(kind, args.ADDRESS, at, before, by=by, anyway=anyway)
        except NotReady as error:
            raise ShopdayError(f"{error}; give --anyway if it was started all the same") from None

    return _moved(args, act)


def _moved(args: Namespace, act: Callable[[Workshop, Plan], Fact], again: str = "") -> int:
    """Log it, and compare the plan on the wall before and after. `again`: what is acted on was logged before: "undo" or "redo"."""
    from shopday.planning.changes import moves

    shop = opening.workshop(args)
    before = shop.plan(args.effort)
    fact = act(shop, before)
    after = shop.plan(args.effort)
    moved, remark = moves(before, after), "" if again == "undo" else shop.remark(fact)
    if args.json:
        logged = json.fact(fact, shop.zone)
        logged = {"kind": again, "of": logged} if again else logged
        json.show({"shopday": 1, "logged": logged, "remark": remark, "moves": list(map(json.move, moved))})
    else:
        from shopday.out.moves_page import logged_page

        opening.show(logged_page(shop, after, fact, moved, remark, again))
    return opening.status(after)
