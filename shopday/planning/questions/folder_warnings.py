"""Warnings about files that are valid but suspicious: promises in the past, dust on wet varnish, facts about no
step."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator
from typing import TYPE_CHECKING

from shopday.planning.encoding.passes import Pass, passes_of
from shopday.planning.plan import Plan
from shopday.planning.questions.concerns import concerns
from shopday.planning.solving.kept_plan import PlanFile
from shopday.shop.folder import JOBS_FOLDER
from shopday.text.sentences import both, sentence
from shopday.text.times import date_text

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

LONG_CLOSED = 365
"""Days without shop hours from which a warning is given."""


def folder_warnings(open_shop: OpenShop, plan: Plan) -> tuple[str, ...]:
    """Every warning as a sentence: steps without a place first, then by job in the order written."""
    found = (
        *_unplaced(plan),
        *_closed(open_shop, plan),
        *_promises(open_shop, plan),
        *_overdue(plan),
        *_own_dust(open_shop, plan),
        *(concern.text for concern in concerns(open_shop, plan)),
        *_forgotten(open_shop),
        *_plan_file(open_shop),
        *_in_subfolders(open_shop),
    )
    return tuple(sentence(text) for text in dict.fromkeys(found))


def _unplaced(plan: Plan) -> Iterator[str]:
    for row in plan.unplaced:
        yield f"`{row.address}` cannot be planned: {row.why}"


def _closed(open_shop: OpenShop, plan: Plan) -> Iterator[str]:
    """The shop has no hours at all, or none for a year."""
    today = plan.now.date()
    opens = open_shop.days().opening(today)
    if opens is None:
        yield "the shop is not open on any day of the next two years; write [hours], or shorten `closed`, in shop.toml"
    elif (date := open_shop.zone.date(opens)) - today > dt.timedelta(days=LONG_CLOSED):
        yield f"the shop is closed until {date_text(date, today)}, more than a year; look at `closed` in shop.toml"


def _promises(open_shop: OpenShop, plan: Plan) -> Iterator[str]:
    today = plan.now.date()
    for row in plan.jobs:
        job = open_shop.folder.jobs[row.job]
        if row.promise is not None and row.promise < today and not row.delivered:
            yield f"`{row.job}` was promised for {date_text(row.promise, today)}, which is past; change `promise`, or log what is done"
        if row.promise is not None and job.begin is not None and job.begin > row.promise:
            yield f"`{row.job}` is to begin after the day it is promised for; change `begin` or `promise`"


def _overdue(plan: Plan) -> Iterator[str]:
    for step in plan.steps:
        if step.overdue:
            what = "should have arrived" if step.kind == "arrives" else "should be back"
            yield f"`{step.address}` {what} and is not logged; log `arrived`, or change its day"


def _own_dust(open_shop: OpenShop, plan: Plan) -> Iterator[str]:
    delivered = {row.job for row in plan.jobs if row.delivered}
    for p in passes_of(open_shop.folder, open_shop.expansion, open_shop.state()):
        if p.pass_no == 1 and not p.step.absent and p.dusty and p.ref.job not in delivered:
            if p.step.still_air:
                yield f"`{p.address}` makes dust and wants still air while it is done; set `dusty = false`, or take out `still_air`"
            elif wait := _dusted(p, open_shop.folder.shop.rules.dust_settles):
                yield (
                    f"`{p.address}` makes dust that settles on its own wait {wait!r}; set `dusty = false`, "
                    "or work in another `room`"
                )


def _dusted(p: Pass, settles: int) -> str:
    """The name of the first wait that needs still air before the step's own dust has settled; else ""."""
    gone = 0
    for wait in p.waits:
        if wait.still_air and not wait.informs and gone < settles:
            return wait.name
        gone += 0 if wait.informs else wait.takes
    return ""


def _plan_file(open_shop: OpenShop) -> Iterator[str]:
    if trouble := PlanFile(open_shop.folder).trouble():
        yield trouble


def _forgotten(open_shop: OpenShop) -> Iterator[str]:
    """Facts about steps that were renamed or removed; they are kept but have no effect."""
    state = open_shop.state()
    logged = {address for address, _ in state.passes} | set(state.extra_passes)
    gone = sorted(logged - set(open_shop.expansion.steps))
    if gone:
        more = f" and {len(gone) - 6} more" if len(gone) > 6 else ""
        yield (
            f"the journal knows of {both(gone[:6])}{more}, which no job has any longer; it is kept, "
            "and counts again when a step of that address is there"
        )


def _in_subfolders(open_shop: OpenShop) -> Iterator[str]:
    """Job files in subfolders, which are not read; they may have been moved there on purpose or by mistake."""
    jobs = open_shop.path / JOBS_FOLDER
    for name, number in sorted(Counter(file.parent.name for file in jobs.glob("*/*.toml")).items()):
        files = "1 file is" if number == 1 else f"{number} files are"
        yield f"in {JOBS_FOLDER}/{name} {files} not read: the jobs stand in {JOBS_FOLDER}/ itself"
