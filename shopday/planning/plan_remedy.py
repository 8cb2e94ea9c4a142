"""A remedy for a damaged plan file."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path

from shopday.journal.journal_remedies import Remedy
from shopday.planning.solving.kept_plan import PLAN_FILE, PlanFile
from shopday.shop.faults import ShopFaults
from shopday.shop.loading.folder_reader import read_folder


def plan_remedies(path: Path) -> Iterator[Remedy]:
    """Offer to delete the file, which is useless as it is; only the stability of the plan is lost."""
    try:
        trouble = PlanFile(read_folder(path)).trouble()
    except ShopFaults:
        return
    if trouble:
        yield Remedy(trouble, "Delete it", partial(_delete, path / PLAN_FILE))


def _delete(file: Path) -> str:
    file.unlink(missing_ok=True)
    return "It is deleted; a new plan is made."
