"""Light or dark: as it was last time, else as the terminal is."""

from __future__ import annotations

import os
import re
import select
import sys
from contextlib import suppress
from pathlib import Path

LOOK_FILE = ".look"
ASK = b"\x1b]11;?\x1b\\\x1b[c"
"""Asks for the background colour, and then for what every terminal answers, so that one that does not know the first
question causes no wait."""
COLOUR = re.compile(rb"\x1b\]11;rgb:([0-9a-fA-F]+)/([0-9a-fA-F]+)/([0-9a-fA-F]+)(?:\x07|\x1b\\)")
LAST_ANSWER = re.compile(rb"\x1b\[\?[0-9;]*c")
SECONDS_TO_WAIT = 0.15
"""Seconds to wait for the answer."""


def look_to_begin_with(folder: Path) -> tuple[bool, str]:
    """True if the look is light, and the keys that were pressed meanwhile."""
    with suppress(OSError):
        return (folder / LOOK_FILE).read_text("utf-8").strip() == "light", ""
    return _asked() if sys.stdin.isatty() and sys.stdout.isatty() else (False, "")


def remember_look(folder: Path, light: bool) -> None:
    """Write the look for the next start. If the folder cannot be written, it is not remembered."""
    with suppress(OSError):
        (folder / LOOK_FILE).write_text("light\n" if light else "dark\n", "utf-8")


def _asked() -> tuple[bool, str]:
    try:
        import termios
        import tty
    except ImportError:  # Windows
        return False, ""
    terminal = sys.stdin.fileno()
    before = termios.tcgetattr(terminal)
    try:
        tty.setcbreak(terminal, termios.TCSADRAIN)
        os.write(sys.stdout.fileno(), ASK)
        return read_answer(_read(terminal))
    finally:
        termios.tcsetattr(terminal, termios.TCSADRAIN, before)


def _read(terminal: int) -> bytes:
    answer = b""
    while LAST_ANSWER.search(answer) is None and select.select([terminal], [], [], SECONDS_TO_WAIT)[0]:
        piece = os.read(terminal, 1024)
        if not piece:
            break
        answer += piece
    return answer


def read_answer(answer: bytes) -> tuple[bool, str]:
    """True if the background is light, and what else was typed; only single characters are sure to be keys."""
    found = COLOUR.search(answer)
    typed = LAST_ANSWER.sub(b"", COLOUR.sub(b"", answer)).decode("utf-8", "ignore")
    keys = "" if "\x1b" in typed else "".join(c for c in typed if c.isprintable())
    if found is None:
        return False, keys
    red, green, blue = (int(part, 16) / (16 ** len(part) - 1) for part in found.groups())
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue > 0.5, keys
