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

    from shopday.planning.plan import Plan
    from shopday.planning.workshop import Workshop


def folder(args: Namespace) -> Path:
    return Path(args.shop or os.environ.get("SHOPDAY_SHOP") or ".")


def workshop(args: Namespace) -> Workshop:
    """The shop; faults of jobs that are left out go to stderr, one line each. Raises ShopdayError where the folder
    cannot be read."""
    from shopday.planning.workshop import Workshop

    shop = Workshop(folder(args), args.now)
    for faults in shop.folder.left_out.values():
        for fault in faults:
            print(fault, file=sys.stderr)
    return shop


def show(answer: RenderableType) -> None:
    from shopday.out.console import show

    show(answer)


def status(plan: Plan) -> int:
    return UNPLACED if plan.unplaced else DONE
