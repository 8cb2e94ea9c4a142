"""Names of job files: a job's id is the name of its file, so not every name is allowed."""

from __future__ import annotations

import re
from pathlib import Path

from shopday.shop.faults import Fault
from shopday.shop.folder import JOBS_FOLDER
from shopday.text.names import free_slug, slug

SUFFIX = ".toml"

_ID = re.compile(r"[a-z0-9][a-z0-9-]{0,59}", re.ASCII)


def job_files(jobs: Path) -> list[Path]:
    """The job files in the folder, whether their names are right or not. Raises OSError."""
    found = (file for file in jobs.iterdir() if file.suffix.lower() == SUFFIX)
    return sorted((file for file in found if not file.name.startswith(".")), key=lambda file: file.name)


def is_well_named(file: Path) -> bool:
    return file.suffix == SUFFIX and _ID.fullmatch(file.stem) is not None


def fitting_name(file: Path) -> str:
    """A valid name like its own that no other file has, in upper or lower case."""
    taken = {other.stem.lower() for other in job_files(file.parent) if other != file}
    return free_slug(file.stem, taken, "job") + SUFFIX


def name_fault(file: Path) -> Fault:
    wrong = "the file's name is the job's id, and this is no id"
    if file.suffix != SUFFIX:
        wrong = f"the name of a job's file ends in {SUFFIX}"
    letters = "" if slug(file.stem) else ", or another name of a-z, 0-9 and - only"
    return Fault(f"{JOBS_FOLDER}/{file.name}", None, wrong, f"rename it to {fitting_name(file)}{letters}")
