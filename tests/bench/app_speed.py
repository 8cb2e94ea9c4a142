"""How fast the app is in a real terminal: first picture, first plan, keys while the search runs and while odds are
drawn, memory. The time of a key is that from the key to the first byte of the answer; its CPU time is all that the app
spends until the answer is complete, which other work on the machine changes less.

Run from the repository: python tests/bench/app_speed.py SHOP_FOLDER NOW [STARTS], or STEPS for a shop of copies of
the demo with so many steps to be done.
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

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


ESCAPE, ENTER, UP, DOWN = "\x1b", "\r", "\x1b[A", "\x1b[B"

LOOKS = 2
"""Seconds for which a person looks at the day before going to another screen."""

CARDS = ("?", ENTER, "w", "d", "o", "N", "S")
"""Keys of Today that open a dialog."""


class Key(NamedTuple):
    """Milliseconds: to the first byte of the answer, and of CPU until it is complete."""

    answered: float
    spent: float


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

    def key(self, key: str) -> Key:
        while self.read(0.02):
            pass
        began, spent = time.perf_counter(), self.spent()
        self.child.send(key)
        self.read(1)
        answered = time.perf_counter()
        while self.read(0.04):
            pass
        return Key((answered - began) * 1000, self.spent() - spent)

    def look_for(self, seconds: float) -> None:
        until = time.perf_counter() + seconds
        while time.perf_counter() < until:
            self.read(0.05)

    def spent(self) -> float:
        """CPU milliseconds of the app so far, without the planner's process."""
        tasks = Path(f"/proc/{self.child.pid}/task").glob("*/schedstat")
        return sum(int(task.read_text().split()[0]) for task in tasks) / 1e6


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
    first = app.seconds_until("(80 %)", "(95 %)")
    walking = [app.key(DOWN if i % 4 < 2 else UP) for i in range(60)]
    turning = [app.key(key) for key in "132" * 4]
    during = draws_are_made(app.child.pid)
    app.child.close(force=True)
    return {
        "first odds, s": first,
        **told("keys in Jobs while drawing", walking),
        **told("keys to other screens while drawing", turning),
        "draws were made to the end of it": during,
    }


def told(what: str, keys: Sequence[Key]) -> dict[str, float]:
    """The median, and what 95 % stay under."""
    rows = {}
    for name, times in (("ms", [key.answered for key in keys]), ("CPU ms", [key.spent for key in keys])):
        rows[f"{what}, median, {name}"] = statistics.median(times)
        rows[f"{what}, 95 % under, {name}"] = statistics.quantiles(times, n=20)[-1]
    return rows


def measure(shop: str, now: str) -> dict[str, float]:
    """One start of an empty app, and one of shopday with keys while it searches."""
    empty, found = first_picture([sys.executable, "-c", EMPTY], "Today")
    spent = empty.spent()
    empty.child.close(force=True)
    app, picture = first_picture(
        [sys.executable, "-m", "shopday", "--shop", shop, "--now", now], "Waiting on"
    )
    pictured = app.spent()
    plan = app.seconds_until("Start now", "Under way", "Next, ", "Nothing to start")
    early = [app.key(DOWN if i % 4 < 2 else UP) for i in range(8)]
    app.look_for(LOOKS)
    visits = [app.key(key) for key in ["2", "3", "5", "6", "7", "4"]]
    app.key(ESCAPE)
    going = [app.key(key) for key in ["1", "2", "3", "5", "6", "7"] * 4]
    app.key("1")
    walking = [app.key(DOWN if i % 4 < 2 else UP) for i in range(60)]
    dialogs = [[(app.key(key), app.key(ESCAPE))[0] for key in CARDS] for _ in range(3)]
    dialogs_first, dialogs_later = dialogs[0], [*dialogs[1], *dialogs[2]]
    measured = {
        "empty app, first picture, s": found,
        "empty app, first picture, CPU, s": spent / 1000,
        "first picture, s": picture,
        "first picture, CPU, s": pictured / 1000,
        "first plan, s": plan,
        **told("the first keys in a list", early),
        **told("keys in a list", walking),
        **told("the first key to each screen", visits),
        **told("later keys to each screen", going),
        **told("the first key to each dialog", dialogs_first),
        **told("later keys to each dialog", dialogs_later),
        **told("all these keys", [*early, *walking, *visits, *going, *dialogs_first, *dialogs_later]),
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
