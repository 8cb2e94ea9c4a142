"""Collects garbage a little at a time while keys are handled, and the rest while no key is pressed: among 100,000
objects that takes 25 ms, longer than a key may."""

from __future__ import annotations

import gc

NEW = 10_000
"""New objects between two collections among them alone, of about 2 ms."""
NEVER = 1_000_000
ALL = 20
"""Collections among what is not so new, after which all is looked through."""


def begin() -> None:
    """Keep for good whatever the start has made, and collect from now on."""
    gc.freeze()
    gc.set_threshold(NEW, NEVER, NEVER)
    gc.enable()


def keep_all() -> None:
    """Keep for good whatever is in use now."""
    gc.collect()
    gc.freeze()


def collect_older() -> None:
    """Look through what has outlived collections, if there is anything."""
    _, outlived, older = gc.get_count()
    if outlived:
        gc.collect(2 if older >= ALL else 1)
