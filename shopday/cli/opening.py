"""From the arguments to the shop they mean, and from an answer to the terminal."""

from __future__ import annotations

import os
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
    """Raises ShopdayError where the folder cannot be read."""
    from shopday.planning.workshop import Workshop

    return Workshop(folder(args), args.now)


def show(answer: RenderableType) -> None:
    from shopday.out.console import show

    show(answer)


def status(plan: Plan) -> int:
    return UNPLACED if plan.unplaced else DONE
