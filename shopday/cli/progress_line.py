"""The progress of long work, in one line that disappears; on terminals only."""

from __future__ import annotations

import sys
from collections.abc import Callable, Generator, Iterable, Iterator
from contextlib import contextmanager
from time import monotonic
from typing import TYPE_CHECKING, TypeVar

from rich.cells import set_cell_size

from shopday.cli.streams import tells_beside
from shopday.text.terminal import columns

if TYPE_CHECKING:
    from shopday.planning.odds.delivery_odds import Odds

T = TypeVar("T")
SECONDS_UNTOLD = 1.0
"""Work that is over sooner needs no line."""


def last_of(results: Iterable[T | None], doing: str, how_far: Callable[[T], str] = lambda result: "") -> T:
    """The last result of long work, whose heartbeats are None. Meanwhile a line tells what is being done, how far it
    is, for how long it has gone on, and how to stop it."""
    began, found, told = monotonic(), None, ""
    with showing_progress() as show:
        for result in results:
            found = found if result is None else result
            seconds = monotonic() - began
            far = "" if found is None else how_far(found)
            line = f"{doing}{far}, {seconds:.0f} s so far (Ctrl+C stops)"
            if seconds >= SECONDS_UNTOLD and line != told:
                show(told := line)
    assert found is not None  # long work has a result
    return found


def result_of(work: Generator[None, None, T], doing: str) -> T:
    """The result of long work in steps, with the line of `last_of`."""

    def results() -> Iterator[T | None]:
        yield (yield from work)

    return last_of(results(), doing)


def last_odds(draws: Iterable[Odds | None]) -> Odds:
    """The last odds of many draws, with the line of `last_of`."""
    return last_of(draws, "Working out the chances", lambda odds: f", {odds.draws} of {odds.of} draws")


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
