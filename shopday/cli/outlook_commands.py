"""The commands that look beyond the plan: what date holds, what would help, what the journal teaches."""

from __future__ import annotations

from argparse import Namespace
from collections import deque
from typing import TYPE_CHECKING

from shopday.cli import shop_access
from shopday.cli.run import DONE
from shopday.export import answers_json, outlook_json
from shopday.shop.faults import ShopdayError, suggest

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop


def odds_command(args: Namespace) -> int:
    from shopday.planning.odds.delivery_odds import odds_of

    shop = shop_access.open_shop(args)
    _must_be_known(shop, args.JOB)
    plan = shop.plan(args.effort)
    found = deque(filter(None, odds_of(shop, plan, args.draws, seed=args.seed)), maxlen=1).pop()
    if args.json:
        answers_json.moment_json(outlook_json.odds_json(plan, found, args.JOB))
    else:
        from shopday.export.outlook_page import odds_page

        shop_access.show_answer(odds_page(shop.folder, plan, found, args.JOB))
    return shop_access.status(plan)


def helps_command(args: Namespace) -> int:
    from shopday.planning.whatif.ranking import best_first
    from shopday.planning.whatif.ranking import helpful_changes as tried

    shop = shop_access.open_shop(args)
    _must_be_known(shop, args.JOB)
    plan = shop.plan(args.effort)
    found = best_first(filter(None, tried(shop, plan, args.JOB)))
    if args.json:
        answers_json.moment_json(outlook_json.helps_json(plan, found, args.JOB))
    else:
        from shopday.export.outlook_page import helps_page

        shop_access.show_answer(helps_page(shop.folder, plan, found, args.JOB))
    return shop_access.status(plan)


def learned_command(args: Namespace) -> int:
    from shopday.planning.lessons.learned_lessons import learned_lessons as lessons

    shop = shop_access.open_shop(args)
    found = lessons(shop.folder, shop.state(), shop.minute())
    if args.json:
        answers_json.moment_json(outlook_json.learned_json(shop.now(), found))
    else:
        from shopday.export.outlook_page import learned_page

        shop_access.show_answer(learned_page(shop.folder, shop.now(), found))
    return DONE


def _must_be_known(shop: OpenShop, job: str | None) -> None:
    """A job that is planned, or none."""
    jobs = shop.folder.jobs
    if job is not None:
        shop.folder.require_read(job)
    if job is not None and job not in jobs:
        raise ShopdayError(f"there is no job {job!r}", suggest(job, jobs, "a job is a file in jobs/"))
    if job is not None and jobs[job].status != "live":
        raise ShopdayError(f'{job} is not planned: its `status` is "{jobs[job].status}"')
