"""`shopday watch`: tells when a window is about to close and when a wait ends, by a notification or the person's
command."""

from __future__ import annotations

import shlex
import subprocess
import sys
import time
from argparse import Namespace
from collections.abc import Iterator, Sequence
from shutil import which

from shopday.cli import shop_access
from shopday.cli.streams import tell_beside
from shopday.planning.open_shop import OpenShop
from shopday.planning.questions.happenings import happenings
from shopday.shop.faults import ShopdayError
from shopday.text.safe import clean

LOOK_AGAIN = 20.0
"""Seconds between checks."""
NOTIFIERS = (
    ("notify-send", "--app-name=shopday", "shopday"),
    ("terminal-notifier", "-title", "shopday", "-message"),
)
"""Programs that show a desktop notification; the text is their last argument."""


def watch_command(args: Namespace) -> int:
    """Watch until stopped. Nothing is told twice; a fault in a file is reported once."""
    call = _call(args.run)
    shop = shop_access.open_shop(args)
    tell_beside(_begun(call))
    for text in _told(shop, args.before):
        print(clean(text), flush=True)
        if call:
            _tell(call, clean(text))
    return 0


def _call(run: str) -> list[str]:
    """The command to run; empty if only the terminal is told."""
    if run:
        try:
            call = shlex.split(run)
        except ValueError as error:
            raise ShopdayError(
                f"shopday watch: --run {run!r} is no command ({error})", "close every quotation mark"
            ) from None
        if not call or which(call[0]) is None:
            raise ShopdayError(
                f"shopday watch: there is no program {(call or [run])[0]!r}", "name one that is installed"
            )
        return call
    return next((list(known) for known in NOTIFIERS if which(known[0])), [])


def _begun(call: Sequence[str]) -> str:
    """That it watches, and how it will tell."""
    if call:
        return f"Watching, to tell by {call[0]} and here; Ctrl+C stops it."
    return "Watching, to tell here alone: no program for notifications was found, and `--run` names one of yours; Ctrl+C stops it."


def _told(shop: OpenShop, before: int) -> Iterator[str]:
    seen, trouble = shop.minute(), ""
    while True:
        time.sleep(LOOK_AGAIN)
        try:
            shop.refresh()
            plan = shop.plan()
        except ShopdayError as error:
            if str(error) != trouble:
                print(clean(str(error)), file=sys.stderr)
            trouble = str(error)
            continue
        now = shop.minute()
        yield from (row.text for row in happenings(shop.folder, plan, seen, now, before))
        seen, trouble = max(seen, now), ""


def _tell(call: Sequence[str], text: str) -> None:
    """Run the command. If it fails, that is reported, and the watch goes on."""
    done = subprocess.run([*call, text], stdin=subprocess.DEVNULL, check=False)
    if done.returncode:
        print(clean(f"{call[0]} ended with status {done.returncode}"), file=sys.stderr)
