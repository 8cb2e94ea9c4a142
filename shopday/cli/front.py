"""The commands that open the app: here, on the demo shop, or in a browser."""

from __future__ import annotations

import os
import sys
import tempfile
from argparse import Namespace
from pathlib import Path

from shopday.cli import opening


def app(args: Namespace) -> int:
    """Without a terminal there is no app: the day and what is waited on are printed instead."""
    if not _has_terminal():
        return _print(args)
    from shopday.app import run

    return run(opening.folder(args), args.now)


def demo(args: Namespace) -> int:
    from shopday.planning.demo import copy_demo

    target = Path(args.DIR) if args.DIR else Path(tempfile.mkdtemp(prefix="shopday-demo-"))
    args.shop = str(copy_demo(target, args.now))
    print(f"The demo shop is in {args.shop}", file=sys.stderr)
    return app(args)


def serve(args: Namespace) -> int:
    from shopday.cli.serving import serve as run_server
    from shopday.planning.workshop import Workshop

    folder = opening.folder(args)
    Workshop(folder, args.now)  # a folder with faults is told here, not in the browser
    return run_server(folder, args.host, args.port)


def _has_terminal() -> bool:
    """TEXTUAL_DRIVER is set where the app is shown in a browser."""
    return "TEXTUAL_DRIVER" in os.environ or (sys.stdin.isatty() and sys.stdout.isatty())


def _print(args: Namespace) -> int:
    from shopday.cli.asking import today, waiting
    from shopday.cli.typed import THOROUGH

    args.effort = THOROUGH
    status = today(args)
    if args.json:  # one answer, one document
        return status
    print()
    return max(status, waiting(args))
