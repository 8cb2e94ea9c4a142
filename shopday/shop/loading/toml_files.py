"""Reads TOML files from disk: regular files of bounded size in UTF-8. Anything else is a fault that says what is
wrong."""

from __future__ import annotations

import os
import re
import stat
import tomllib
from pathlib import Path
from typing import Any

from shopday.shop.faults import Fault, ShopFaults
from shopday.shop.loading.toml_positions import TomlPositions

LARGEST = 2 * 1024 * 1024
"""Bytes. A full year of jobs fits in a tenth of it."""

_PLACE = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)\s*$")
_CURES = {
    "invalid value": 'text stands in quotes: name = "value"',
    "overwrite": "it is written twice; take one out",
    "twice": "it is written twice; take one out",
    "namespace": "it is written twice; take one out",
    "unclosed array": "close the list with ]",
    "inline table": "close it with } on the same line",
    "initial character for a key": "keep a { } table on one line, with no comma before }",
    "unterminated string": "close the text with a quote",
    "illegal character": "take it out, or close the text before it with a quote",
    "expected ']": "close the header with as many ] as it has [",
    "expected newline": "one setting a line; text in quotes, dates as 2026-12-19",
    "date": "write dates as 2026-12-19, without quotes",
    "unescaped": "write a backslash twice, or use single quotes",
}
_LONG_NUMBER = re.compile(r"[0-9_]{300}")
_PAIR = 'write it as name = "value"'


def read_toml(path: Path, name: str, inside: Path | None = None) -> TomlPositions:
    """Read one file. name: what faults call it; inside: the folder that it must not lead out of."""
    return toml_of(read_bytes(path, name, inside), name)


def toml_of(data: bytes, name: str) -> TomlPositions:
    """What a file holds. Raises ShopFaults if it is no TOML."""
    text = decoded(data, name)
    return TomlPositions(name, text, parsed_toml(text, name))


def parsed_toml(text: str, name: str) -> dict[str, Any]:
    """The values in a text. Raises ShopFaults if it is no TOML."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ShopFaults([_syntax(name, text, str(error))]) from None
    except (ValueError, RecursionError, OverflowError):
        wrong = "a number or a nest of lists in it is too large to read"
        raise ShopFaults([Fault(name, _line_of_too_much(text), wrong, "take it out")]) from None


def _line_of_too_much(text: str) -> int:
    """Roughly the line where lists and tables are nested deepest, or where a number is too long."""
    depth, deepest = 0, (0, 1)
    for number, line in enumerate(text.split("\n"), 1):
        if _LONG_NUMBER.search(line):
            return number
        depth += sum(map(line.count, "[{"))
        deepest = max(deepest, (depth, -number))
        depth -= sum(map(line.count, "]}"))
    return abs(deepest[1])


def decoded(raw: bytes, name: str) -> str:
    """The text of a file. Raises ShopFaults if it is no text."""
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        wrong = "binary, not text" if b"\0" in raw else "not in UTF-8"
        raise ShopFaults([Fault(name, line, f"it is {wrong}", "save it as UTF-8 text")]) from None
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise ShopFaults([Fault(name, line, "it is binary, not text", "save it as UTF-8 text")])
    return text


def read_bytes(path: Path, name: str, inside: Path | None = None) -> bytes:
    try:
        _refuse_odd(path, name, inside)
        with path.open("rb") as file:
            raw = file.read(LARGEST + 1)
    except (OSError, ValueError) as error:
        raise ShopFaults([unreadable(name, error)]) from None
    if len(raw) > LARGEST:
        raise ShopFaults([Fault(name, None, "it is larger than 2 MB", "keep one job a file")])
    return raw


def _refuse_odd(path: Path, name: str, inside: Path | None) -> None:
    """Accept only plain files, and none from elsewhere through a link: a shop folder is complete in itself."""
    mode = path.stat().st_mode
    if stat.S_ISDIR(mode):
        raise ShopFaults(
            [Fault(name, None, "it is a folder", "a file is wanted here; move or rename the folder")]
        )
    if not stat.S_ISREG(mode):
        raise ShopFaults([Fault(name, None, "it is not a plain file", "put a plain file here")])
    if inside is not None:
        require_inside(path, name, inside)


def require_inside(path: Path, name: str, folder: Path) -> None:
    """Raise ShopFaults if links lead out of the folder, whether the file exists or is still to be made."""
    if not path.resolve().is_relative_to(folder.resolve()):
        raise ShopFaults(
            [Fault(name, None, "it is a link out of the shop folder", "copy the file itself here")]
        )


def unreadable(name: str, error: OSError | ValueError) -> Fault:
    """Why a file cannot be read, and what to do about it."""
    if isinstance(error, FileNotFoundError):
        return Fault(name, None, "there is no such file", "check its name and folder")
    if isinstance(error, PermissionError):
        return Fault(name, None, "you may not read it", f"give yourself the right: chmod u+r {name}")
    if isinstance(error, IsADirectoryError):
        return Fault(name, None, "it is a folder", "a file is wanted here")
    reason = os.strerror(error.errno) if isinstance(error, OSError) and error.errno else str(error)
    return Fault(name, None, f"it cannot be read ({reason})", "check the disk and the link")


def _syntax(name: str, text: str, message: str) -> Fault:
    match = _PLACE.search(message)
    line = int(match[1]) if match and match[1] else text.rstrip("\n").count("\n") + 1
    said = message[: match.start()] if match else message
    said = said[:1].lower() + said[1:]
    where = f" at column {match[2]}" if match and match[2] else " at the end" if match else ""
    cure = next((cure for key, cure in _CURES.items() if key in said.lower()), _PAIR)
    return Fault(name, line, f"not TOML{where}: {said}", cure)
