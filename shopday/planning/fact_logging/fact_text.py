"""What a fact is called in messages."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopday.planning.encoding.passes import pass_count
from shopday.shop.quantities import degrees_text

if TYPE_CHECKING:
    from shopday.journal.facts import Fact
    from shopday.planning.open_shop import OpenShop

CALLED = {
    "start": "start",
    "pause": "putting down",
    "finish": "finish",
    "skip": "skipping",
    "again": "one more pass",
    "arrived": "arrival",
    "moisture": "moisture reading",
    "tested": "test of a wait",
    "ordered": "order",
    "asked": "asking",
    "pin": "pinning",
    "unpin": "unpinning",
}
"""Kinds of facts about a step, as nouns: "start of Glue up the seat"."""


def fact_label(open_shop: OpenShop, fact: Fact) -> str:
    """The step of a fact, with the pass if there are several: "Oil (2 of 3)"; the address if no file has the step."""
    ref = open_shop.expansion.steps.get(fact.address)
    if ref is None:
        return fact.address
    passes = pass_count(ref, open_shop.state())
    return f"{ref.step.label} ({fact.pass_no} of {passes})" if passes > 1 else ref.step.label


def fact_told(open_shop: OpenShop, fact: Fact) -> str:
    """A fact in words: "start of Glue up the seat (Hall bench)"."""
    if fact.kind == "reading":
        return f"reading of {degrees_text(fact.data['celsius'])}"
    if fact.kind == "close-day":
        return f"closing of {fact.data.get('day')}"
    job = open_shop.folder.jobs.get(fact.address.partition("/")[0])
    ref = open_shop.expansion.steps.get(fact.address) if fact.kind == "again" else None
    label = fact_label(open_shop, fact) if ref is None else ref.step.label
    beside = f" ({job.title})" if job is not None and job.title else ""
    return f"{CALLED.get(fact.kind, fact.kind)} of {label}{beside}"
