"""Offers remedies one by one and applies those that the person accepts; none of them loses anything."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from shopday.journal.journal import Journal
from shopday.journal.journal_remedies import Remedy, journal_remedies
from shopday.planning.job_file_remedies import job_file_remedies
from shopday.planning.plan_remedy import plan_remedies
from shopday.text.safe import clean


def offer_remedies(folder: Path) -> None:
    """Ask on stderr and read answers from stdin; no answer means no."""
    for remedy in _remedies(folder):
        print(clean(remedy.wrong), file=sys.stderr)
        print(clean(f"{remedy.offer}? [y/N] "), end="", file=sys.stderr, flush=True)
        if _says_yes():
            print(clean(remedy.apply()), file=sys.stderr)


def _remedies(folder: Path) -> Iterator[Remedy]:
    yield from journal_remedies(Journal(folder / "journal.db"))
    yield from job_file_remedies(folder)
    yield from plan_remedies(folder)


def _says_yes() -> bool:
    answer = sys.stdin.readline() if sys.stdin else ""
    if not answer.endswith("\n"):
        print(file=sys.stderr)
    return answer.strip().lower() in ("y", "yes")
