"""Tells whether files have changed, without reading them."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

FileStamps = tuple[tuple[str, int, int, int], ...]
"""Of each file: its path below a folder, inode, size in bytes, and time of change in nanoseconds."""


def file_stamps(files: Iterable[Path], folder: Path) -> FileStamps:
    """The stamps of files below a folder, in the order given; those that are gone or out of reach are left out."""
    found = []
    for file in files:
        try:
            stat = file.stat()
        except OSError:
            continue
        found.append((str(file.relative_to(folder)), stat.st_ino, stat.st_size, stat.st_mtime_ns))
    return tuple(found)
