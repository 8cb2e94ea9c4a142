"""The commands that look beyond the plan: what date holds, what would help, what the journal teaches."""

from __future__ import annotations

from argparse import Namespace
from collections import deque
from typing import TYPE_CHECKING

from shopday.cli import opening
from shopday.cli.run import DONE
from shopday.out import json, prospects
from shopday.shop.faults import ShopdayError, suggest

if TYPE_CHECKING:
    from shopday.planning.workshop import Workshop


def odds(args: Namespace) -> int:
    from shopday.planning.odds import odds_of

    shop = opening.workshop(args)
    _must_be_known(shop, args.JOB)
    plan = shop.plan(args.effort)
    found = deque(odds_of(shop, plan, args.draws, seed=args.seed), maxlen=1).pop()
    if args.json:
        json.show(prospects.odds(plan, found, args.JOB))
    else:
        from shopday.out.prospects_page import odds_page

        opening.show(odds_page(shop.folder, plan, found, args.JOB))
    return opening.status(plan)


def helps(args: Namespace) -> int:
    from shopday.planning.helping import best_first
    from shopday.planning.helping import helps as tried

    shop = opening.workshop(args)
    _must_be_known(shop, args.JOB)
    plan = shop.plan(args.effort)
    found = best_first(tried(shop, plan, args.JOB))
    if args.json:
        json.show(prospects.helps(plan, found, args.JOB))
    else:
        from shopday.out.prospects_page import helps_page

        opening.show(helps_page(shop.folder, plan, found, args.JOB))
    return opening.status(plan)


def learned(args: Namespace) -> int:
    from shopday.planning.learning import learned as lessons

    shop = opening.workshop(args)
    found = lessons(shop.folder, shop.state(), shop.minute())
    if args.json:
        json.show(prospects.learned(shop.now(), found))
    else:
        from shopday.out.prospects_page import learned_page

        opening.show(learned_page(shop.folder, shop.now(), found))
    return DONE


def _must_be_known(shop: Workshop, job: str | None) -> None:
    """A job that is planned, or none."""
    jobs = shop.folder.jobs
    if job is not None:
        shop.folder.require_read(job)
    if job is not None and job not in jobs:
        raise ShopdayError(f"there is no job {job!r}; {suggest(job, jobs, 'a job is a file in jobs/')}")
    if job is not None and jobs[job].status != "live":
        raise ShopdayError(f'{job} is not planned: its `status` is "{jobs[job].status}"')
