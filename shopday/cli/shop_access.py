"""From the arguments to the shop they mean, and from an answer to the terminal."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from shopday.cli.progress_line import last_of
from shopday.cli.run import DONE, UNPLACED
from shopday.shop.faults import ShopdayError, suggest

if TYPE_CHECKING:
    from rich.console import RenderableType

    from shopday.planning.open_shop import OpenShop
    from shopday.planning.plan import Plan


def folder(args: Namespace) -> Path:
    return Path(args.shop or os.environ.get("SHOPDAY_SHOP") or ".")


def open_shop(args: Namespace) -> OpenShop:
    """The shop. Faults of jobs that are left out go to stderr, one line each. Raises ShopdayError if the folder
    cannot be read."""
    from shopday.planning.open_shop import OpenShop

    shop = OpenShop(folder(args), args.now)
    for faults in shop.folder.left_out.values():
        for fault in faults:
            print(fault, file=sys.stderr)
    return shop


def kept_plan(shop: OpenShop, effort: float = 1.0, bounded: bool | None = False) -> Plan:
    """`shop.plan`, with a line on the terminal while it takes long."""
    return last_of(shop.plans(effort, bounded), "Planning")


def require_job(shop: OpenShop, job: str | None) -> None:
    """Raise ShopdayError if `job` is no job of this shop. None is allowed."""
    jobs = shop.folder.jobs
    if job is not None:
        shop.folder.require_read(job)
    if job is not None and job not in jobs:
        raise ShopdayError(f"there is no job {job!r}", suggest(job, jobs, "a job is a file in jobs/"))


def require_planned(shop: OpenShop, job: str | None) -> None:
    """Raise ShopdayError if `job` is not planned. None is allowed."""
    require_job(shop, job)
    if job is not None and (status := shop.folder.jobs[job].status) != "live":
        raise ShopdayError(f'{job} is not planned: its `status` is "{status}"')


def show_answer(answer: RenderableType) -> None:
    from shopday.export.console import show_renderable

    show_renderable(answer)


def status(plan: Plan) -> int:
    return UNPLACED if plan.unplaced else DONE


def status_of_files(shop: OpenShop) -> int:
    """The status of an answer without a plan: whether a job was left out because of its file."""
    return UNPLACED if shop.folder.left_out else DONE
