"""What can be done about a spoiled memory of the plan."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path

from shopday.journal.journal_remedies import Remedy
from shopday.planning.solving.kept_plan import PLAN_FILE, PlanFile
from shopday.shop.faults import ShopFaults
from shopday.shop.loading.folder_reader import read_folder


def plan_remedies(path: Path) -> Iterator[Remedy]:
    """Deleting the file loses nothing but steadiness, and it is of no use as it is."""
    try:
        trouble = PlanFile(read_folder(path)).trouble()
    except ShopFaults:
        return
    if trouble:
        yield Remedy(trouble, "Delete it", partial(_delete, path / PLAN_FILE))


def _delete(file: Path) -> str:
    file.unlink(missing_ok=True)
    return "It is deleted; a new plan is made."
