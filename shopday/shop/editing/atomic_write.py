"""Replaces a file atomically: after a crash or on a full disk there is the old file or the new one, never half of
one.

The folder is locked meanwhile, so that of two programs that change one file the second sees the first one's work.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from glob import escape
from itertools import count
from pathlib import Path

from shopday.atomic_file import part_beside, sync_folder
from shopday.shop.faults import ShopdayError


def replace_file(path: Path, content: bytes, seen: bytes | None) -> None:
    """Write a file that held `seen` (None: it did not exist). Raises ShopdayError if that has changed, or it cannot
    be written."""
    target = path.resolve()
    try:
        with _locked(target.parent):
            _put_in_place(target, content, seen)
    except OSError as error:
        reason = os.strerror(error.errno) if error.errno else str(error)
        wrong = f"{path.name} could not be written ({reason.lower()})"
        raise ShopdayError(
            wrong, "nothing was changed, see that the folder can be written and has room"
        ) from None


def _require_unchanged(target: Path, seen: bytes | None) -> None:
    try:
        there: bytes | None = target.read_bytes()
    except FileNotFoundError:
        there = None
    if there == seen:
        return
    if seen is None:
        raise ShopdayError(f"there already is a {target.name}", "choose another name")
    what = "is gone" if there is None else "was changed by somebody else meanwhile"
    raise ShopdayError(f"{target.name} {what}", "nothing was written, look at it again first")


def _put_in_place(target: Path, content: bytes, seen: bytes | None) -> None:
    """The check of the present content comes last, as an editor takes no lock."""
    _clear_away(target)
    with part_beside(target, content) as part, _held(target) as old:
        _require_unchanged(target, seen)
        os.replace(part, target)
        _require_unwritten(target, old, seen)
    sync_folder(target.parent)


@contextmanager
def _held(target: Path) -> Iterator[Path | None]:
    """A second name for the present file, so that it survives being replaced; None if there is no file, or the disk
    has no links."""
    old = target.with_name(f".{target.name}.old.tmp")
    try:
        os.link(target, old)
    except OSError:
        yield None
        return
    try:
        yield old
    finally:
        with suppress(OSError):
            old.unlink()


def _require_unwritten(target: Path, old: Path | None, seen: bytes | None) -> None:
    """An editor may have written to the old file between the last check and the renaming; if so, keep that."""
    if old is None or old.read_bytes() == seen:
        return
    names = (target.with_name(f"{target.name}.theirs{n or ''}") for n in count())
    theirs = next(name for name in names if not name.exists())
    os.replace(old, theirs)
    raise ShopdayError(
        f"{target.name} was changed by somebody else at the same moment",
        f"what they wrote is kept in {theirs.name}, put the two together",
    )


def _clear_away(target: Path) -> None:
    """Delete what a killed writer left; nobody else writes under the lock."""
    for stale in target.parent.glob(f".{escape(target.name)}.*.tmp"):
        with suppress(OSError):
            stale.unlink()


@contextmanager
def _locked(folder: Path) -> Iterator[None]:
    try:
        import fcntl
    except ImportError:  # this system has no such locks: the check of the old content must do
        yield
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)
