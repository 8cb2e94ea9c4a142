"""Jobs from a table: a CSV file, or rows copied from a spreadsheet. One row per step, below a head line.

Columns, in any order: `title`, `step`, `minutes`; optionally `customer`, `promise` and `part`. Values that are the
same as in the row above may be left empty, as in a spreadsheet.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Iterable, Iterator
from typing import Any

from shopday.shop import quantities
from shopday.shop.faults import Fault, ShopFaults
from shopday.shop.models import Job
from shopday.shop.parse_moment import parse_day
from shopday.shop.quantities import shown
from shopday.text.names import free_slug
from shopday.text.wrong_input import WrongInput, wrong_and_right

NEEDED = ("title", "step", "minutes")
COLUMNS = (*NEEDED, "customer", "promise", "part")
OTHER_NAMES = {"job": "title", "promised": "promise", "due": "promise", "time": "minutes", "name": "step"}
"""Other names that people give the columns."""
KEPT = ("title", "customer", "promise", "part")
"""Columns in which an empty cell takes the value of the row above."""

TableRow = dict[str, str]


def jobs_of_table(text: str, name: str, taken: Iterable[str], today: dt.date) -> dict[str, Job]:
    """The jobs by their new ids, none of which is taken. name: what a fault calls the table. Raises ShopFaults with
    everything that is wrong, by row."""
    drafts: dict[str, dict[str, Any]] = {}
    faults = []
    for line, row in _rows(text, name):
        try:
            _add_step(drafts.setdefault(row["title"], {"parts": {}, "steps": []}), row, today)
        except ValueError as error:
            faults.append(Fault(name, line, *wrong_and_right(error)))
    if faults:
        raise ShopFaults(faults)
    found: dict[str, Job] = {}
    for title, draft in drafts.items():
        found[free_slug(title, {*taken, *found})] = _job(title, draft)
    return found


def _rows(text: str, name: str) -> Iterator[tuple[int, TableRow]]:
    """Each row that is not empty, with its line in the file."""
    lines = text.lstrip("\ufeff").splitlines()
    reader = csv.reader(io.StringIO("\n".join(lines)), delimiter=_separator(lines[0] if lines else ""))
    columns = [_column(cell) for cell in next(reader, [])]
    if missing := [column for column in NEEDED if column not in columns]:
        right = f"the first line names the columns: {', '.join(COLUMNS)}"
        raise ShopFaults([Fault(name, 1, f"there is no column `{missing[0]}`", right)])
    above: TableRow = {}
    for cells in reader:
        row = {column: cell.strip() for column, cell in zip(columns, cells, strict=False)}
        if any(row.values()):
            same_job = row.get("title", "") in ("", above.get("title"))
            row |= {column: above.get(column, "") for column in KEPT if same_job and not row.get(column)}
            above = {column: row.get(column, "") for column in COLUMNS}
            yield reader.line_num, above


def _separator(head: str) -> str:
    """The separator of the columns in the head line; spreadsheets copy tabs."""
    return max("\t;,", key=head.count)


def _column(cell: str) -> str:
    name = cell.strip().lower().replace(" ", "_")
    return OTHER_NAMES.get(name, name)


def _add_step(draft: dict[str, Any], row: TableRow, today: dt.date) -> None:
    """Add the step of a row. Raises ValueError, which says what would be right."""
    if not row["title"]:
        raise WrongInput("no job is named", "write its title in the first row of it")
    if not row["step"]:
        raise WrongInput("no step is named", "write what is done")
    draft["customer"] = draft.get("customer") or row["customer"]
    if row["promise"] and not draft.get("promise"):
        draft["promise"] = parse_day(row["promise"], today)
    steps = draft["parts"].setdefault(row["part"], []) if row["part"] else draft["steps"]
    steps.append((row["step"], _minutes(row["minutes"])))


def _minutes(said: str) -> int:
    """A number of minutes, or a length as in a file of the shop."""
    found = int(said[:9]) if said.isascii() and said.isdigit() else quantities.minutes(said)
    if not found:
        raise WrongInput(f"{shown(said)} is no time", "write minutes, as 90, or 1h 30m")
    return found


def _job(title: str, draft: dict[str, Any]) -> Job:
    parts: list[dict[str, Any]] = []
    ids: list[str] = []
    for name, steps in draft["parts"].items():
        ids.append(free_slug(name, ids, "part"))
        parts.append({"id": ids[-1], "name": name, "steps": _steps(steps)})
    fields = {"title": title, "customer": draft["customer"], "promise": draft.get("promise")}
    return Job.model_validate({**fields, "parts": parts, "steps": _steps(draft["steps"])})


def _steps(steps: list[tuple[str, int]]) -> list[dict[str, str]]:
    ids: list[str] = []
    found = []
    for name, minutes in steps:
        ids.append(free_slug(name, ids, "step"))
        found.append({"id": ids[-1], "name": name, "hands_on": f"{minutes}m"})
    return found
