"""Writes files whole: after a crash or on a full disk there is the old file or the new one, never half of one."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path


def put_in_place(target: Path, content: bytes, lasting: bool = True) -> None:
    """Write a file, replacing an existing one. lasting: wait until the disk has it. If OSError is raised, nothing
    has changed."""
    with part_beside(target, content, lasting) as part:
        part.replace(target)
    if lasting:
        sync_folder(target.parent)


@contextmanager
def part_beside(target: Path, content: bytes, lasting: bool = True) -> Iterator[Path]:
    """A temporary file with the content, in the target's folder and with its mode, to be renamed to the target;
    deleted afterwards if it was not. Raises OSError."""
    part = target.with_name(f".{target.name}.{os.urandom(8).hex()}.tmp")
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o600)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            if hasattr(os, "fchmod"):  # Windows knows no modes
                os.fchmod(file.fileno(), _mode(target))
            if lasting:
                os.fsync(file.fileno())
        yield part
    finally:
        with suppress(OSError):
            part.unlink()


def sync_folder(folder: Path) -> None:
    """Sync the new name itself; if the folder cannot be opened, the rename must do."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _mode(target: Path) -> int:
    """The mode of the old file, or that of any new file."""
    with suppress(FileNotFoundError):
        return target.stat().st_mode & 0o7777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
