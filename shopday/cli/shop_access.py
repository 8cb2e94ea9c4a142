"""From the arguments to the shop they mean, and from an answer to the terminal."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from shopday.cli.run import DONE, UNPLACED

if TYPE_CHECKING:
    from rich.console import RenderableType

    from shopday.planning.open_shop import OpenShop
    from shopday.planning.plan import Plan


def folder(args: Namespace) -> Path:
    return Path(args.shop or os.environ.get("SHOPDAY_SHOP") or ".")


def open_shop(args: Namespace) -> OpenShop:
    """The shop; faults of jobs that are left out go to stderr, one line each. Raises ShopdayError where the folder
    cannot be read."""
    from shopday.planning.open_shop import OpenShop

    shop = OpenShop(folder(args), args.now)
    for faults in shop.folder.left_out.values():
        for fault in faults:
            print(fault, file=sys.stderr)
    return shop


def show_answer(answer: RenderableType) -> None:
    from shopday.export.console import show_renderable

    show_renderable(answer)


def status(plan: Plan) -> int:
    return UNPLACED if plan.unplaced else DONE
