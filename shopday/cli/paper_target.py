"""Where an exported answer goes: a file of its kind, standard output, or a device.

A slip such as `calendar jobs/desk.toml` overwrites nothing: neither a file of the shop nor one that somebody else
made.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

from shopday.cli.streams import tell_beside
from shopday.shop.editing.atomic_write import replace_file
from shopday.shop.faults import ShopdayError
from shopday.shop.folder import JOBS_FOLDER, MATERIALS_FILE, RECIPES_FOLDER, SHOP_FILE

STDOUT = "-"
OF_A_SHOP = (SHOP_FILE, MATERIALS_FILE, JOBS_FOLDER, RECIPES_FOLDER)
"""Files and folders of a shop. Names that begin with a dot (backups, the plan) and journals belong to it too."""
TRIES = 20


@dataclass(frozen=True)
class PaperKind:
    """What a file holds, how every file of its kind begins, in lower case, and what such a file may be called."""

    name: str
    begins: bytes
    file: str


CALENDAR = PaperKind("a calendar", b"begin:vcalendar", "shop.ics")
PAGE = PaperKind("a page", b"<!doctype html", "sheet.html")


def write_paper(name: str, data: bytes, kind: PaperKind, shop: Path) -> None:
    """Write the file atomically, as a phone may be reading it. A symbolic link stays one, and its target is written.
    Raises ShopdayError if that would overwrite something else."""
    path = Path(name)
    if name == STDOUT or _is_stream(path):
        _pour(name, data)
        return
    _require_free(path, name, kind, shop)
    for attempt in range(TRIES):
        seen = _seen(path, name, kind)
        try:
            replace_file(path, data, seen)
            break
        except ShopdayError:  # another program doing the same may have been first
            if attempt == TRIES - 1 or _seen(path, name, kind) == seen:
                raise
    tell_beside(f"Written: {name}")


def _is_stream(path: Path) -> bool:
    return path.exists() and not path.is_file() and not path.is_dir()


def _pour(name: str, data: bytes) -> None:
    if name == STDOUT:
        sys.stdout.buffer.write(data)
        return
    with open(name, "wb", buffering=0) as stream:
        stream.write(data)


def _require_free(path: Path, name: str, kind: PaperKind, shop: Path) -> None:
    if path.is_dir():
        raise ShopdayError(f"{name} is a folder", f"name a file in it, such as {path / kind.file}")
    target, folder = path.resolve(), shop.resolve()
    if not target.is_relative_to(folder):
        return
    first = target.relative_to(folder).parts[0]
    if first in OF_A_SHOP or first.startswith(".") or (first.startswith("journal") and ".db" in first):
        raise ShopdayError(f"{name} is a file of the shop", "nothing was written, name another file")


def _seen(path: Path, name: str, kind: PaperKind) -> bytes | None:
    """The content of the file; None if there is none. Raises ShopdayError if it is something else."""
    try:
        content = path.read_bytes()
    except FileNotFoundError:
        return None
    if content.strip() and not content.lstrip().lower().startswith(kind.begins):
        raise ShopdayError(
            f"{name} is there already and is not {kind.name}",
            "nothing was written, name another file or move it away",
        )
    return content
