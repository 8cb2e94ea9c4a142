"""The commands that open the app: here, on the demo shop, or in a browser."""

from __future__ import annotations

import os
import sys
import tempfile
from argparse import Namespace
from pathlib import Path

from shopday.cli import shop_access
from shopday.cli.run import DONE
from shopday.cli.streams import tell_beside
from shopday.text.times import time_of


def app_command(args: Namespace) -> int:
    """Open the app. Without a terminal, print the day and what is waited for instead."""
    if not _has_terminal():
        return _print(args)
    from shopday.app import run

    return run(shop_access.folder(args), args.now)


def demo_command(args: Namespace) -> int:
    """Open the demo. At night, when no shop works, it is shown at a moment of the day, and says so."""
    from shopday.planning.demo_copy import copy_demo, daytime_instead

    target = Path(args.DIR) if args.DIR else Path(tempfile.mkdtemp(prefix="shopday-demo-"))
    shown = daytime_instead(args.now)
    args.shop = str(copy_demo(target, shown or args.now))
    tell_beside(f"The demo shop is in {args.shop}")
    if shown is not None:
        args.now = shown
        at = shown.replace(tzinfo=None).isoformat(timespec="minutes")
        tell_beside(
            f"Nobody is at work at this hour: it is shown at {time_of(shown)}. Other commands want `--now {at}`."
        )
    return app_command(args)


def serve_command(args: Namespace) -> int:
    from shopday.export.calendar_memory import read_memory, write_memory
    from shopday.planning.open_shop import OpenShop
    from shopday.web.serve import serve_shop

    folder = shop_access.folder(args)
    OpenShop(folder, args.now)  # report faults of the folder here, not in the browser
    memory = read_memory(folder)
    write_memory(folder, memory)
    serve_shop(folder, args.now, args.host, args.port, memory.key)
    return DONE


def _has_terminal() -> bool:
    """True if there is a terminal; TEXTUAL_DRIVER is set if the app is shown in a browser."""
    return "TEXTUAL_DRIVER" in os.environ or (sys.stdin.isatty() and sys.stdout.isatty())


def _print(args: Namespace) -> int:
    from shopday.cli.argument_types import THOROUGH
    from shopday.cli.question_commands import today_command, waiting_command

    args.effort = THOROUGH
    status = today_command(args)
    if args.json:  # one answer, one document
        return status
    print()
    return max(status, waiting_command(args))
