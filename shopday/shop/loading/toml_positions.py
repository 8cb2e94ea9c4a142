"""Finds the line of a value in a TOML file: `tomllib` gives only values, but a fault needs its line.

The text was already read as TOML, so the scanner here may trust its grammar and skip over it. It runs only if there
is a fault to report.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from functools import cached_property
from typing import Any

Path = tuple[str | int, ...]
"""Keys and list indices from the top of a file: ("parts", 0, "steps", 2, "hands_on")."""

_BLANK = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_KEY = re.compile(r"""[ \t]*(?:"((?:[^"\\\n]|\\.)*)"|'([^'\n]*)'|([A-Za-z0-9_-]+))[ \t]*""")
_ESCAPE = re.compile(r'\\(?:u([0-9a-fA-F]{4})|U([0-9a-fA-F]{8})|([btnfr"\\]))')
_ESCAPED = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r", '"': '"', "\\": "\\"}
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}|' r"'''.*?'{3,5}|" r'"(?:[^"\\\n]|\\.)*"|' r"'[^'\n]*'",
    re.DOTALL,
)
_PLAIN = re.compile(r"[^,\]}#\n]*")


class TomlPositions:
    """A TOML file: its name for faults, its text and its values."""

    def __init__(self, name: str, text: str, data: dict[str, Any]) -> None:
        self.name, self.text, self.data = name, text, data

    @cached_property
    def _places(self) -> dict[Path, int]:
        try:
            return TomlScan(self.text).places
        except (ValueError, RecursionError):
            return {}

    def line(self, path: Path) -> int:
        """The line of a value, or of the closest thing around it that is written; 1 is the file."""
        for length in range(len(path), 0, -1):
            if (place := self._places.get(path[:length])) is not None:
                return place
        return 1


class TomlScan:
    """One pass over a text.

    places:  the line of each key, table and list item.
    headers: each [table] and [[entry]] with the position where its line's brackets begin, in order.
    values:  where the text of each value begins and ends.
    keys:    where each `key = value` begins.
    """

    def __init__(self, text: str) -> None:
        self.text, self.at = text, 0
        self.places: dict[Path, int] = {}
        self.headers: list[tuple[Path, int]] = []
        self.values: dict[Path, tuple[int, int]] = {}
        self.keys: dict[Path, int] = {}
        self._lengths: dict[Path, int] = {}
        self._breaks = [i for i, c in enumerate(text) if c == "\n"]
        self._run()

    def _run(self) -> None:
        table: Path = ()
        self._skip()
        while self.at < len(self.text):
            if self.text.startswith("[[", self.at):
                table = self._header(2)
            elif self.text.startswith("[", self.at):
                table = self._header(1)
            else:
                self._pair(table)
            self._skip()

    def _skip(self) -> None:
        if match := _BLANK.match(self.text, self.at):
            self.at = match.end()

    def _mark(self, path: Path, at: int) -> None:
        self.places.setdefault(path, bisect_right(self._breaks, at - 1) + 1)

    def _header(self, brackets: int) -> Path:
        start = self.at
        self.at += brackets
        names = self._key()
        path: Path = ()
        for name in names[:-1]:
            self._mark((*path, name), start)
            path = self._last((*path, name))
        path = (*path, names[-1])
        if brackets == 2:
            self._mark(path, start)
            path = (*path, self._lengths.get(path, 0))
            self._lengths[path[:-1]] = int(path[-1]) + 1
        self._mark(path, start)
        self.headers.append((path, start))
        self.at += brackets
        return path

    def _last(self, path: Path) -> Path:
        """A table named again in a header means the last one of its list."""
        length = self._lengths.get(path)
        return path if length is None else (*path, length - 1)

    def _key(self) -> list[str]:
        names = []
        while match := _KEY.match(self.text, self.at):
            self.at = match.end()
            names.append(_unescaped(match[1]) if match[1] is not None else match[2] or match[3] or "")
            if not self.text.startswith(".", self.at):
                break
            self.at += 1
        return names

    def _pair(self, table: Path) -> None:
        start = self.at
        path = table
        for name in self._key():
            path = (*path, name)
            self._mark(path, start)
        if self.at == start:
            raise ValueError("not TOML")
        self.at += 1
        self.keys[path] = start
        self._value(path)

    def _value(self, path: Path) -> None:
        self._skip()
        start = self.at
        if self.text.startswith("[", start):
            self._list(path)
        elif self.text.startswith("{", start):
            self._inline(path)
        elif match := _STRING.match(self.text, start) or _PLAIN.match(self.text, start):
            self.at = start + len(match[0].rstrip())
        if self.at == start:
            raise ValueError("not TOML")
        self.values[path] = start, self.at

    def _list(self, path: Path) -> None:
        self.at += 1
        self._skip()
        index = 0
        while self.at < len(self.text) and self.text[self.at] != "]":
            self._mark((*path, index), self.at)
            self._value((*path, index))
            index += 1
            self._comma()
        self.at += 1

    def _inline(self, path: Path) -> None:
        self.at += 1
        self._skip()
        while self.at < len(self.text) and self.text[self.at] != "}":
            self._pair(path)
            self._comma()
        self.at += 1

    def _comma(self) -> None:
        self._skip()
        if self.text.startswith(",", self.at):
            self.at += 1
            self._skip()


def _unescaped(text: str) -> str:
    def plain(match: re.Match[str]) -> str:
        return _ESCAPED[match[3]] if match[3] else chr(int(match[1] or match[2], 16))

    return _ESCAPE.sub(plain, text)
