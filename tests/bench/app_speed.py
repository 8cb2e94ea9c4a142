"""How fast the app is in a real terminal: first picture, first plan, keys while the search runs, memory.

Run from the repository: python tests/bench/app_speed.py SHOP_FOLDER NOW
"""

from __future__ import annotations

import os
import statistics
import sys
import time
from pathlib import Path

import pexpect
import pyte

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
            self.stream.feed(self.child.read_nonblocking(65536, timeout=timeout))
        except pexpect.TIMEOUT:
            return False
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


def main(shop: str, now: str) -> None:
    empty = Screen([sys.executable, "-c", EMPTY])
    print(f"empty app, first picture   {empty.seconds_until('Today'):.2f} s")
    empty.child.close(force=True)
    app = Screen([sys.executable, "-m", "shopday", "--shop", shop, "--now", now])
    print(f"first picture              {app.seconds_until('Waiting on'):.2f} s")
    print(f"first plan                 {app.seconds_until('Take up now', 'Under way', 'Next, '):.2f} s")
    keys = [app.key("\x1b[B" if i % 4 < 2 else "\x1b[A") for i in range(60)]
    cuts = statistics.quantiles(keys, n=20)
    print(f"keys while it searches     median {statistics.median(keys):.0f} ms, 95 % under {cuts[-1]:.0f} ms")
    print(f"memory of the app          {resident(app.child.pid):.0f} MB")
    app.child.close(force=True)


if __name__ == "__main__":
    main(*sys.argv[1:3])
