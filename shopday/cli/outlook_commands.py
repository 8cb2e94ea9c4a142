"""The commands that look beyond the plan: which dates hold, what would help, what the journal teaches."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING

from shopday.cli import shop_access
from shopday.cli.progress_line import last_odds, showing_progress
from shopday.cli.run import STOPPED
from shopday.export import answers_json, outlook_json

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop
    from shopday.planning.plan import Plan
    from shopday.planning.whatif.ranking import HelpsSoFar


def odds_command(args: Namespace) -> int:
    from shopday.planning.odds.delivery_odds import odds_of

    shop = shop_access.open_shop(args)
    shop_access.require_planned(shop, args.JOB)
    plan = shop_access.kept_plan(shop, args.effort)
    draws = odds_of(shop, plan, args.draws, seed=args.seed)
    found = last_odds(draws)
    if args.json:
        answers_json.moment_json(outlook_json.odds_json(plan, found, args.JOB))
    else:
        from shopday.export.outlook_page import odds_page

        shop_access.show_answer(odds_page(shop.folder, plan, found, args.JOB))
    return shop_access.status(plan)


def helps_command(args: Namespace) -> int:
    """Tell what would help; if stopped, what was found so far."""
    shop = shop_access.open_shop(args)
    shop_access.require_planned(shop, args.JOB)
    plan = shop_access.kept_plan(shop, args.effort)
    found = _helps_so_far(shop, plan, args.JOB, args.effort)
    if args.json:
        answers_json.moment_json(outlook_json.helps_json(plan, found, args.JOB))
    else:
        from shopday.export.outlook_page import helps_page

        shop_access.show_answer(helps_page(shop.folder, plan, found, args.JOB))
    return shop_access.status(plan) if found.done == found.steps else STOPPED


def _helps_so_far(shop: OpenShop, plan: Plan, job: str | None, effort: float) -> HelpsSoFar:
    """What was found until the end, or until the person stopped it. Raises KeyboardInterrupt if stopped before the
    first answer."""
    from shopday.planning.whatif.ranking import helpful_changes

    so_far = None
    try:
        with showing_progress() as show:
            for so_far in filter(None, helpful_changes(shop, plan, job, effort)):
                best = f"; best so far: {so_far.found[0].text}" if so_far.found else ""
                show(f"What would help: {so_far.done} of {so_far.steps}{best} (Ctrl+C: enough)")
    except KeyboardInterrupt:
        if so_far is None:
            raise
    assert so_far is not None  # at least one comes
    return so_far


def learned_command(args: Namespace) -> int:
    from shopday.planning.lessons.learned_lessons import learned_lessons as lessons

    shop = shop_access.open_shop(args)
    found = lessons(shop.folder, shop.state(), shop.minute())
    if args.json:
        answers_json.moment_json(outlook_json.learned_json(shop.now(), found))
    else:
        from shopday.export.outlook_page import learned_page

        shop_access.show_answer(learned_page(shop.folder, shop.now(), found))
    return shop_access.status_of_files(shop)
