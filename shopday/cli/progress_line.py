"""The progress of a long answer, in one line that disappears; on terminals only."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.cells import set_cell_size

from shopday.cli.streams import tells_beside
from shopday.text.terminal import columns


@contextmanager
def showing_progress() -> Iterator[Callable[[str], None]]:
    """Yield a function that shows one line after another, each replacing the last. It does nothing if stderr is no
    terminal."""
    if not (sys.stderr.isatty() and tells_beside()):
        yield lambda line: None
        return
    width = columns(sys.stderr) - 1

    def show(line: str) -> None:
        sys.stderr.write(f"\r{set_cell_size(line, width)}")
        sys.stderr.flush()

    try:
        yield show
    finally:
        sys.stderr.write(f"\r{' ' * width}\r")
        sys.stderr.flush()
