"""Serves a shop: what is told at the start, and the server."""

from __future__ import annotations

import asyncio
import datetime as dt
import os
import sys
from pathlib import Path

from shopday.shop.faults import ShopdayError
from shopday.shop.installing import install
from shopday.web.access import PASSWORD, USER, password_for
from shopday.web.own_addresses import urls


def serve_shop(folder: Path, now: dt.datetime | None, host: str, port: int, key: str) -> None:
    """Serve until stopped. key: the secret in the calendar's address. Raises ShopdayError if it cannot listen, or
    the extra packages are not installed."""
    password = password_for(host)
    command = [sys.executable, "-m", "shopday", "--shop", str(folder.resolve())]
    if now is not None:
        command += ["--now", now.isoformat()]

    def tell(bound: int) -> None:
        print(f"shopday is at {' and '.join(urls(host, bound))}; Ctrl+C stops it.")
        if password is not None:
            told = f"the one in {PASSWORD}" if os.environ.get(PASSWORD) else password
            print(f"User: {USER}   password: {told}")
            print("Anybody on this network can read what is sent; use it at home or in the shop only.")
        print(f"Calendar to subscribe to: {urls(host, bound)[0]}/calendar/{key}.ics")
        sys.stdout.flush()

    try:
        from shopday.web.calendar_feed import CalendarFeed
        from shopday.web.web_server import WebServer, terminal_files

        terminal_files()
    except ImportError:
        raise ShopdayError("`shopday serve` needs two more packages", install("serve")) from None
    feed = CalendarFeed([*command, "calendar"], key)
    asyncio.run(WebServer(command, password, feed).run(host, port, tell))
