"""How fast the app is in a real terminal: first picture, first plan, keys while the search runs and while odds are
drawn, memory.

Run from the repository: python tests/bench/app_speed.py SHOP_FOLDER NOW [STARTS], or STEPS for a shop of copies of
the demo with so many steps to be done.
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
import time
from pathlib import Path

import pexpect
import pyte
from odds_speed import NOW, copies

from shopday.app.terminal_look import ASK

EMPTY = """
from textual.app import App
from textual.widgets import Static
class Empty(App):
    def compose(self):
        yield Static("Today")
Empty().run()
"""


class Screen:
    def __init__(self, command: list[str]) -> None:
        self.screen = pyte.Screen(80, 24)
        self.stream = pyte.ByteStream(self.screen)
        self.began = time.perf_counter()
        env = {**os.environ, "TERM": "xterm-256color"}
        self.child = pexpect.spawn(command[0], command[1:], dimensions=(24, 80), env=env)
        self.child.delaybeforesend = None

    def read(self, timeout: float) -> bool:
        try:
            written = self.child.read_nonblocking(65536, timeout=timeout)
        except pexpect.TIMEOUT:
            return False
        if ASK in written:  # every terminal answers at once what it is
            self.child.send(b"\x1b[?62;22c")
        self.stream.feed(written)
        return True

    def seconds_until(self, *wanted: str) -> float:
        while not any(piece in line for line in self.screen.display for piece in wanted):
            self.read(0.005)
        return time.perf_counter() - self.began

    def key(self, key: str) -> float:
        """Milliseconds from the key to the first byte of the answer."""
        while self.read(0.02):
            pass
        began = time.perf_counter()
        self.child.send(key)
        self.read(1)
        return (time.perf_counter() - began) * 1000


def resident(pid: int) -> float:
    """Megabytes, without the planner's process."""
    status = Path(f"/proc/{pid}/status").read_text()
    return int(next(line.split()[1] for line in status.splitlines() if line.startswith("VmRSS"))) / 1024


def first_picture(command: list[str], piece: str) -> tuple[Screen, float]:
    screen = Screen(command)
    return screen, screen.seconds_until(piece)


def draws_are_made(pid: int) -> bool:
    """A process of the app's planner makes them."""
    for child in Path(f"/proc/{pid}/task/{pid}/children").read_text().split():
        name = Path(f"/proc/{child}/cmdline").read_text()
        if "shopday.planning.odds.parallel_simulation" in name or draws_are_made(int(child)):
            return True
    return False


def measure_drawing(shop: str, now: str) -> dict[str, float]:
    """Keys in Jobs from the first rough odds on."""
    app = Screen([sys.executable, "-m", "shopday", "--shop", shop, "--now", now])
    app.seconds_until("Start now", "Under way", "Next, ", "Nothing to start")
    app.key("2")
    first = app.seconds_until(" with 80 %", " with 95 %")
    walking = [app.key("\x1b[B" if i % 4 < 2 else "\x1b[A") for i in range(60)]
    turning = [app.key(key) for key in "132" * 4]
    during = draws_are_made(app.child.pid)
    app.child.close(force=True)
    return {
        "first odds, s": first,
        "keys in Jobs while drawing, 95 % under, ms": statistics.quantiles(walking, n=20)[-1],
        "keys in Jobs while drawing, median, ms": statistics.median(walking),
        "keys to other screens while drawing, 95 % under, ms": statistics.quantiles(turning, n=20)[-1],
        "draws were made to the end of it": during,
    }


def measure(shop: str, now: str) -> dict[str, float]:
    """One start of an empty app, and one of shopday with keys while it searches."""
    empty, found = first_picture([sys.executable, "-c", EMPTY], "Today")
    empty.child.close(force=True)
    app, picture = first_picture(
        [sys.executable, "-m", "shopday", "--shop", shop, "--now", now], "Waiting on"
    )
    plan = app.seconds_until("Start now", "Under way", "Next, ", "Nothing to start")
    walking = [app.key("\x1b[B" if i % 4 < 2 else "\x1b[A") for i in range(60)]
    turning = [app.key(key) for key in "231\t\t" * 10]
    visits = [app.key(key) for key in "456321"]
    going = [app.key(key) for key in "456321" * 8]
    dialogs = [app.key(key) for _ in range(8) for key in "?q"][::2]
    measured = {
        "empty app, first picture, s": found,
        "first picture, s": picture,
        "first plan, s": plan,
        "keys in a list, 95 % under, ms": statistics.quantiles(walking, n=20)[-1],
        "keys in a list, median, ms": statistics.median(walking),
        "keys to other screens and lists, 95 % under, ms": statistics.quantiles(turning, n=20)[-1],
        "the first key to each screen, slowest, ms": max(visits),
        "later keys to each screen, 95 % under, ms": statistics.quantiles(going, n=20)[-1],
        "later keys to each screen, median, ms": statistics.median(going),
        "a key that opens a dialog, 95 % under, ms": statistics.quantiles(dialogs, n=20)[-1],
        "a key that opens a dialog, median, ms": statistics.median(dialogs),
        "memory of the app, MB": resident(app.child.pid),
    }
    app.child.close(force=True)
    return measured


def main(shop: str, now: str = NOW.isoformat(), runs: int = 5) -> None:
    with tempfile.TemporaryDirectory() as room:
        if shop.isdigit():
            made = Path(room, "shop")
            copies(made, int(shop))
            shop = str(made)
        first, *later = (measure(shop, now) | measure_drawing(shop, now) for _ in range(runs + 1))
    print(f"{'':50}{'first start':>12}{'later, median':>15}{'least':>8}")
    for name, value in first.items():
        values = [each[name] for each in later]
        print(f"{name:50}{value:12.2f}{statistics.median(values):15.2f}{min(values):8.2f}")


if __name__ == "__main__":
    main(*sys.argv[1:3], *map(int, sys.argv[3:4]))
