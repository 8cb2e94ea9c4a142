"""The app in a real terminal of 80 columns and 24 lines, with its planner's process."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from app_shop import NOW
from processes import children, is_at_work, until

from shopday.planning.open_shop import OpenShop

pytestmark = pytest.mark.slow

pexpect = pytest.importorskip("pexpect")
pyte = pytest.importorskip("pyte")

LONGEST = 20
"""Seconds after which a screen that does not come is a failure."""


class Terminal:
    """A pseudo-terminal, and what stands on its screen."""

    def __init__(self, command: list[str]) -> None:
        self.screen = pyte.Screen(80, 24)
        self.stream = pyte.ByteStream(self.screen)
        env = {**os.environ, "TERM": "xterm-256color", "COLUMNS": "80", "LINES": "24"}
        env.pop("NO_COLOR", None)
        self.child = pexpect.spawn(command[0], command[1:], dimensions=(24, 80), env=env, timeout=LONGEST)

    def text(self) -> str:
        return "\n".join(self.screen.display)

    def until(self, wanted: Callable[[str], bool]) -> str:
        """Read until the screen is as wanted; fails with what stood there instead."""
        for _ in range(LONGEST * 10):
            if wanted(self.text()):
                return self.text()
            try:
                self.stream.feed(self.child.read_nonblocking(65536, timeout=0.1))
            except pexpect.TIMEOUT:
                continue
            except pexpect.EOF:
                break
        raise AssertionError(f"never came:\n{self.text()}")

    def sees(self, *pieces: str) -> str:
        return self.until(lambda text: all(piece in text for piece in pieces))

    def press(self, keys: str) -> None:
        self.child.send(keys)


@pytest.fixture
def terminal(shop: Path) -> Iterator[Terminal]:
    now = NOW.strftime("%Y-%m-%dT%H:%M")
    opened = Terminal([sys.executable, "-m", "shopday", "--shop", str(shop), "--now", now])
    yield opened
    opened.child.close(force=True)


def test_a_morning_with_another_pass_and_undo_in_a_real_terminal(terminal: Terminal, shop: Path) -> None:
    text = terminal.sees("Under way", "Cut the joints", "Waiting on", "q Quit")
    assert max(len(line.rstrip()) for line in text.splitlines()) <= 80
    terminal.press("f")
    terminal.sees("Finished: Cut the joints", "Start now")
    terminal.press("\t")
    terminal.press("p")
    while "once more" in terminal.until(lambda text: "Keep it (k)" in text or "once more" in text):
        terminal.until(lambda text: "once more" not in text)  # refused within a second of the day's new order
        terminal.press("p")
    terminal.sees("One more pass", "Keep it (k)", "Undo it (u)")
    terminal.press("u")
    terminal.sees("Undone", "Start now")
    terminal.press("u")
    terminal.sees("Undone", "Under way")
    terminal.press("4")
    terminal.sees("Add a part", "Accept it")
    terminal.press("Stool")
    terminal.sees("Stool")
    terminal.press("\x1b")
    terminal.until(lambda text: "Esc then" not in text)
    terminal.press("A")
    terminal.sees("A part made from which recipe?")
    terminal.press("\r")
    terminal.sees("Earliest delivery", "Alone in the shop")
    terminal.press("1")
    terminal.sees("The day", "Under way")
    terminal.press("q")
    terminal.child.expect(pexpect.EOF)
    terminal.child.close()
    assert terminal.child.exitstatus == 0
    assert not [fact for fact in OpenShop(shop, NOW).journal.facts() if fact.kind == "again"]


def test_ctrl_c_and_a_killed_planner_stop_no_work(terminal: Terminal) -> None:
    terminal.sees("Under way", "Cut the joints", "q Quit")
    terminal.press("\x03")
    (worker,) = children(terminal.child.pid)
    assert os.getpgid(worker) == worker
    os.kill(worker, signal.SIGKILL)
    terminal.sees("started again")
    assert children(terminal.child.pid, ended=True) == []
    terminal.press("f")
    terminal.sees("Finished: Cut the joints", "Start now")
    workers = children(terminal.child.pid)
    os.kill(terminal.child.pid, signal.SIGKILL)
    until(lambda: not any(map(is_at_work, workers)))


def test_ctrl_c_ends_a_command_and_its_second_process(shop: Path) -> None:
    call = [sys.executable, "-m", "shopday", "--shop", str(shop), "odds", "--draws", "100000"]
    command = Terminal(call).child
    until(lambda: bool(children(command.pid)))
    workers = children(command.pid)
    command.sendintr()
    command.expect(pexpect.EOF)
    assert b"Traceback" not in command.before
    command.close()
    assert command.exitstatus == 130
    until(lambda: not any(map(is_at_work, workers)))
