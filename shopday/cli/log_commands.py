"""The commands that log: each writes one fact and tells what moved."""

from __future__ import annotations

import datetime as dt
from argparse import Namespace
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from shopday.cli import shop_access
from shopday.cli.run import answering
from shopday.cli.typed_times import typed_day, typed_moment
from shopday.export import answers_json
from shopday.shop.faults import ShopdayError
from shopday.text.wrong_input import wrong_and_right

if TYPE_CHECKING:
    from shopday.journal.facts import Fact
    from shopday.planning.open_shop import OpenShop
    from shopday.planning.plan import Plan


def start_command(args: Namespace) -> int:
    if args.correct:
        return _correct(args, "start")
    return _log(args, "start", by=args.by or (), anyway=args.anyway)


def pause_command(args: Namespace) -> int:
    return _log(args, "pause")


def finish_command(args: Namespace) -> int:
    return _correct(args, "finish") if args.correct else _log(args, "finish")


def _correct(args: Namespace, kind: str) -> int:
    """Correct the time of the pass logged last."""

    def act(shop: OpenShop, _: Plan) -> Fact:
        at = typed_moment(args, shop)
        if at is None:
            raise ShopdayError(f"shopday {kind} --correct: say when it was", "give --at TIME")
        return shop.correct(kind, args.ADDRESS, at)

    return _moved(args, act)


def skip_command(args: Namespace) -> int:
    return _log(args, "skip")


def again_command(args: Namespace) -> int:
    details = {"passes": args.passes, "first": args.first}
    return _would_move(args, "again", details) if args.dry_run else _log(args, "again", details=details)


def tested_command(args: Namespace) -> int:
    return _log(args, "tested", details={"longer": args.LONGER})


def moisture_command(args: Namespace) -> int:
    return _log(args, "moisture", details={"percent": args.PERCENT, "board": args.board})


def arrived_command(args: Namespace) -> int:
    return _log(args, "arrived")


def ordered_command(args: Namespace) -> int:
    return _log(args, "ordered", details=_days(args, expected="DAY"))


def asked_command(args: Namespace) -> int:
    return _log(args, "asked", details=_days(args, expected="DAY", call="--call"))


def _days(args: Namespace, **names: str) -> dict[str, dt.date]:
    """The days given, by the shop's date. names: of their arguments."""
    today = shop_access.open_shop(args).now().date()
    days = {key: typed_day(args, name, today) for key, name in names.items()}
    return {key: day for key, day in days.items() if day is not None}


def undo_command(args: Namespace) -> int:
    return _moved(args, lambda shop, _: shop.undo(), "undo")


def redo_command(args: Namespace) -> int:
    return _moved(args, lambda shop, _: shop.redo(), "redo")


def reading_command(args: Namespace) -> int:
    from rich.console import Group

    from shopday.export.changes_page import reading_line, sentences
    from shopday.planning.encoding.temperature_readings import reading_holds
    from shopday.planning.questions.plan_changes import delivery_moves
    from shopday.shop.quantities import read_degrees

    shop = shop_access.open_shop(args)
    try:
        celsius = read_degrees(args.DEGREES.strip())
    except ValueError as error:
        wrong, right = wrong_and_right(error)
        raise ShopdayError(f"shopday reading: {wrong}", right) from None
    at = typed_moment(args, shop)
    minute = shop.minute() if at is None else shop.zone.of(at)
    before = shop_access.kept_plan(shop, bounded=None)
    fact = shop.write("reading", "", 0, minute, celsius=celsius)
    with answering():
        after, until = shop_access.kept_plan(shop, bounded=None), reading_holds(shop, minute)
        moved = delivery_moves(before, after)
        if args.json:
            answer = {
                "shopday": 1,
                "logged": answers_json.fact_json(fact, shop.zone),
                "remark": " ".join(shop.journal_risks()),
            }
            answers_json.moment_json(
                {
                    **answer,
                    "until": answers_json.time_json(until),
                    "moves": list(map(answers_json.move_json, moved)),
                }
            )
        else:
            shop_access.show_answer(reading_line(celsius, fact.at, until, shop))
            if moved:
                shop_access.show_answer(Group(*sentences(moved, after.now)))
    return shop_access.status(after)


def _log(
    args: Namespace,
    kind: str,
    by: Sequence[str] = (),
    anyway: bool = False,
    details: Mapping[str, object] | None = None,
) -> int:
    from shopday.planning.fact_logging.readiness import NotReady

    def act(shop: OpenShop, before: Plan) -> Fact:
        at = typed_moment(args, shop)
        try:
            return shop.log(kind, args.ADDRESS, at, before, by=by, anyway=anyway, details=details)
        except NotReady as error:
            raise ShopdayError(
                error.wrong, error.right_and("give --anyway if it was started all the same")
            ) from None

    return _moved(args, act)


def _moved(args: Namespace, act: Callable[[OpenShop, Plan], Fact], again: str = "") -> int:
    """Log a fact, and compare the kept plan before and after. again: "undo" or "redo", if it was logged before."""
    shop = shop_access.open_shop(args)
    before = shop_access.kept_plan(shop, args.effort, bounded=None)
    fact = act(shop, before)
    with answering():
        after = shop_access.kept_plan(shop, args.effort, bounded=None)
        remark = " ".join(shop.journal_risks()) if again == "undo" else shop.remark(fact)
        _tell(args, shop, before, after, fact, remark, again)
    return shop_access.status(after)


def _would_move(args: Namespace, kind: str, details: Mapping[str, object]) -> int:
    """Compare the kept plan with the one after the facts, without logging them."""
    shop = shop_access.open_shop(args)
    before = shop_access.kept_plan(shop, args.effort, bounded=None)
    fact, after = shop.foreseen(kind, args.ADDRESS, typed_moment(args, shop), before, details)
    _tell(args, shop, before, after, fact, "", "dry-run")
    return shop_access.status(after)


def _tell(
    args: Namespace, shop: OpenShop, before: Plan, after: Plan, fact: Fact, remark: str, instead: str
) -> None:
    """Print what was logged and what it moves. instead: "undo", "redo" or "dry-run", if it was not logged just now."""
    from shopday.planning.questions.plan_changes import delivery_moves

    moved = delivery_moves(before, after)
    if args.json:
        logged = answers_json.fact_json(fact, shop.zone)
        answers_json.moment_json(
            {
                "shopday": 1,
                "logged": {"kind": instead, "of": logged} if instead else logged,
                "remark": remark,
                "moves": list(map(answers_json.move_json, moved)),
            }
        )
    else:
        from shopday.export.changes_page import logged_page

        shop_access.show_answer(logged_page(shop, after, fact, moved, remark, instead))
