"""The commands that ask: today, waiting, plan, quote."""

from __future__ import annotations

from argparse import Namespace
from collections import deque
from pathlib import Path

from shopday.cli import opening
from shopday.cli.typed import PROVING, THOROUGH
from shopday.out import json, prospects


def today(args: Namespace) -> int:
    from shopday.planning.today import day

    shop = opening.workshop(args)
    plan = shop.plan(args.effort)
    found = day(shop, plan)
    if args.json:
        json.show(json.day(plan, found))
    else:
        from shopday.out.day_page import day_page

        opening.show(day_page(shop.folder, plan, found))
    return opening.status(plan)


def waiting(args: Namespace) -> int:
    from shopday.planning.waiting import waiting as rows

    shop = opening.workshop(args)
    plan = shop.plan(args.effort)
    found = rows(shop, plan)
    if args.json:
        json.show(json.waiting(plan, found))
    else:
        from shopday.out.waiting_page import waiting_page

        opening.show(waiting_page(shop.folder, plan, found))
    return opening.status(plan)


def plan(args: Namespace) -> int:
    shop = opening.workshop(args)
    effort = PROVING if args.prove and args.effort == THOROUGH else args.effort
    if args.fresh:
        found = deque(shop.fresh(effort), maxlen=1).pop()
    else:
        found = shop.plan(effort, bounded=effort > 0)
    offer = None
    if args.prove and not args.fresh and not found.proven:
        found, offer = deque(shop.offers(found, effort), maxlen=1).pop()
    if args.json:
        json.show(json.plan(found))
    else:
        from shopday.out.offer_page import offer_page
        from shopday.out.plan_page import plan_page

        opening.show(plan_page(shop, found))
        if offer is not None:
            opening.show(offer_page(found, offer, taken=False))
    return opening.status(found)


def better(args: Namespace) -> int:
    from shopday.planning.changes import moves

    shop = opening.workshop(args)
    now, offer = deque(shop.offers(shop.plan(args.effort), args.effort), maxlen=1).pop()
    if offer is not None and args.take:
        shop.take_up(offer)
    if args.json:
        moved = () if offer is None else moves(now, offer)
        taken = args.take and offer is not None
        json.show({"shopday": 1, "taken": taken, "moves": list(map(json.move, moved))})
    else:
        from shopday.out.offer_page import offer_page

        opening.show(offer_page(now, offer, args.take))
    return opening.status(now if offer is None else offer)


def quote(args: Namespace) -> int:
    from shopday.planning.odds import odds_of_quote
    from shopday.planning.quote import quote as ask
    from shopday.shop.reading import read_job

    shop = opening.workshop(args)
    job_id, job = read_job(Path(args.FILE), shop.folder)
    found = ask(shop, job_id, job, args.effort)
    *_, drawn = odds_of_quote(shop, job_id, job, found.plan, args.draws, seed=args.seed)
    odds = drawn.job(job_id)
    if args.json:
        chances = None if odds is None else prospects.chances(odds)
        safe = None if odds is None else odds.p80
        json.show(json.plan(found.plan) | {"quote": json.quote(found, safe), "odds": chances})
    else:
        from shopday.out.quote_page import quote_page

        opening.show(quote_page(job.title or job_id, found, odds))
    return opening.status(found.plan)
