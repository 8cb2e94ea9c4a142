"""The commands that ask: today, waiting, plan, quote."""

from __future__ import annotations

import sys
from argparse import Namespace
from pathlib import Path

from shopday.cli import shop_access
from shopday.cli.argument_types import PROVING, THOROUGH
from shopday.cli.paper_target import STDOUT
from shopday.cli.progress_line import last_odds, last_of, result_of
from shopday.cli.streams import tell_beside
from shopday.export import answers_json, outlook_json

SEARCHING = "Looking for a better plan"


def today_command(args: Namespace) -> int:
    from shopday.planning.questions.day import day_view

    shop = shop_access.open_shop(args)
    plan = shop_access.kept_plan(shop, args.effort)
    found = day_view(shop, plan)
    if args.json:
        answers_json.moment_json(answers_json.day_json(plan, found))
    else:
        from shopday.export.day_page import day_page

        shop_access.show_answer(day_page(shop.folder, plan, found))
    return shop_access.status(plan)


def waiting_command(args: Namespace) -> int:
    from shopday.planning.questions.purchasing import purchases
    from shopday.planning.questions.waiting import waiting_items as rows

    shop = shop_access.open_shop(args)
    plan = shop_access.kept_plan(shop, args.effort)
    found, to_get = rows(shop, plan), purchases(shop, plan)
    if args.json:
        answers_json.moment_json(answers_json.waiting_json(plan, found, to_get))
    else:
        from shopday.export.waiting_page import waiting_page

        shop_access.show_answer(waiting_page(shop.folder, plan, found, to_get))
    return shop_access.status(plan)


def plan_command(args: Namespace) -> int:
    from shopday.planning.solving.plan_solver import prover_missing

    shop = shop_access.open_shop(args)
    effort = PROVING if args.prove and args.effort == THOROUGH else args.effort
    if args.fresh:
        found = last_of(shop.fresh(effort), "Planning")
    else:
        found = shop_access.kept_plan(shop, effort, bounded=effort > 0)
    offer = None
    if args.prove and not args.fresh and not found.proven:
        found, offer = last_of(shop.offers(found, effort), SEARCHING)
    if args.prove and (missing := prover_missing(found)):
        tell_beside(missing)
    if args.json:
        from shopday.planning.questions.concerns import concerns

        answers_json.moment_json(
            answers_json.plan_json(found) | {"concerns": answers_json.concerns_json(concerns(shop, found))}
        )
    elif getattr(args, "as") == "markdown":
        from shopday.export.plan_markdown import plan_markdown

        print(plan_markdown(shop.folder, found), end="")
    elif getattr(args, "as") == "svg":
        from shopday.export.plan_svg import plan_svg

        print(plan_svg(shop.folder, found), end="")
    else:
        from shopday.export.offer_page import offer_page
        from shopday.export.plan_page import plan_page

        shop_access.show_answer(plan_page(shop, found))
        if offer is not None:
            shop_access.show_answer(offer_page(found, offer, taken=False))
    return shop_access.status(found)


def better_command(args: Namespace) -> int:
    from shopday.planning.questions.plan_changes import delivery_moves

    shop = shop_access.open_shop(args)
    mark = shop.mark()
    now = shop_access.kept_plan(shop, args.effort)
    now, offer = last_of(shop.offers(now, args.effort), SEARCHING)
    if offer is not None and args.take:
        shop.use_plan(offer, mark)
    if args.json:
        moved = () if offer is None else delivery_moves(now, offer)
        taken = args.take and offer is not None
        answers_json.moment_json(
            {"shopday": 1, "taken": taken, "moves": list(map(answers_json.move_json, moved))}
        )
    else:
        from shopday.export.offer_page import offer_page

        shop_access.show_answer(offer_page(now, offer, args.take))
    return shop_access.status(now if offer is None else offer)


def quote_command(args: Namespace) -> int:
    from shopday.planning.odds.delivery_odds import odds_of_quote
    from shopday.planning.questions.quote import work_out_quote
    from shopday.shop.loading.folder_reader import read_job

    shop = shop_access.open_shop(args)
    typed = sys.stdin.buffer.read() if args.FILE == STDOUT else None
    job_id, job = read_job(Path(args.FILE if typed is None else "standard input"), shop.folder, typed)
    before = shop_access.kept_plan(shop, args.effort)
    found = result_of(work_out_quote(shop, job_id, job, args.effort, before), "Working out the quote")
    drawn = last_odds(odds_of_quote(shop, job_id, job, found.plan, args.draws, seed=args.seed))
    odds = drawn.job(job_id)
    if args.json:
        chances = None if odds is None else outlook_json.chances_json(odds)
        safe = None if odds is None else odds.p80
        answers_json.moment_json(
            answers_json.plan_json(found.plan)
            | {"quote": answers_json.quote_json(found, safe), "odds": chances}
        )
    else:
        from shopday.export.quote_page import quote_page

        shop_access.show_answer(quote_page(job.title or job_id, found, odds))
    return shop_access.status(found.plan)
