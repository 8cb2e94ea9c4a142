"""Remedies for job files whose names are not valid ids; nothing has been logged of such jobs."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path

from shopday.journal.journal_remedies import Remedy
from shopday.shop.folder import JOBS_FOLDER
from shopday.shop.loading.job_file_names import fitting_name, is_well_named, job_files, name_fault


def job_file_remedies(folder: Path) -> Iterator[Remedy]:
    """Offer to rename each such file to a free name; none if the folder cannot be read."""
    try:
        files = job_files(folder / JOBS_FOLDER)
    except OSError:
        return
    for file in files:
        if not is_well_named(file):
            fault = name_fault(file)
            yield Remedy(
                f"{fault.file}: {fault.wrong}.", f"Rename it to {fitting_name(file)}", partial(_rename, file)
            )


def _rename(file: Path) -> str:
    """Choose the name anew, so that no other file is overwritten."""
    name = fitting_name(file)
    file.rename(file.with_name(name))
    return f"It is {JOBS_FOLDER}/{name} now."
