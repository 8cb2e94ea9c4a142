"""Start the app: the planner's process first, then the terminal."""

from __future__ import annotations

import datetime as dt
import gc
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from shopday.app import garbage
from shopday.app.server_watch import end_with_server

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

SHOP_FILE = "shop.toml"
PICTURES_A_SECOND = "500"
"""Textual draws what has changed at the next beat of a clock. At its own 60 beats a second, a key that opens something
waits 8 ms on average, and 16 at most, for nothing."""
ESCAPE_DELAY = "50"
"""Milliseconds after which Escape is not taken for the beginning of another key: those of one key come together.
Textual's own 100 are felt."""


def open_app(folder: Path, now: dt.datetime | None) -> int:
    """Run the app until the person quits; return the exit status. Raises ShopdayError if the folder cannot be read."""
    if "TEXTUAL_DRIVER" in os.environ:
        end_with_server()
    os.environ.setdefault("TEXTUAL_FPS", PICTURES_A_SECOND)  # both are read when Textual is loaded
    os.environ.setdefault("ESCDELAY", ESCAPE_DELAY)
    _leave_out_openssl()
    if not (folder / SHOP_FILE).exists() and not _first_shop(folder, now):
        return 0
    from shopday.app.planner_client import ProcessPlanner

    gc.disable()  # objects made at the start stay; collecting garbage among them would delay keys by a tenth of a second
    planner = ProcessPlanner(folder, now)
    try:
        from shopday.app.app import ShopdayApp
        from shopday.app.load_shop import read_in_background
        from shopday.app.terminal_look import look_to_begin_with

        light, typed = look_to_begin_with(folder)
        app = ShopdayApp(read_in_background(lambda: _read(folder, now)), planner, True, light, typed)
        app.run()
        if app.trouble is not None:
            raise app.trouble
        return app.return_code or 0
    finally:
        planner.close()


def _leave_out_openssl() -> None:
    """Let asyncio and hashlib go without OpenSSL, as they do where there is none: the app opens no connection and its
    hashes are Python's own. This saves 8 MB."""
    sys.modules |= dict.fromkeys({"ssl", "_hashlib"} - sys.modules.keys())  # type: ignore[arg-type]


def _read(folder: Path, now: dt.datetime | None) -> OpenShop:
    """Read the shop, and load what the first keys need, so that none of them waits for it."""
    from shopday.planning.open_shop import OpenShop

    open_shop = OpenShop(folder, now)
    garbage.begin()
    return open_shop


def _first_shop(folder: Path, now: dt.datetime | None) -> bool:
    """Ask for a shop if there is none; False if the questions were left."""
    from shopday.app.dialogs.first_start import FirstStart

    return bool(FirstStart(folder, (now or dt.datetime.now()).date()).run())
