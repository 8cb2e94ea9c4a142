"""What jobs, steps and things are called: in sentences, and as ids in files."""

from __future__ import annotations

import unicodedata
from collections.abc import Container

MOST = 60
"""The most characters of an id."""

STATUS_WORDS = {
    "quote": "a quote that is not accepted",
    "shelved": "shelved",
    "cancelled": "cancelled",
    "delivered": "delivered",
}


def standing(status: str) -> str:
    """The status of a job that is not planned, in words: "the job is shelved"."""
    return STATUS_WORDS.get(status, status)


def pass_label(name: str, pass_no: int, passes: int) -> str:
    """A step's name, with the pass if there are several: "Oil (2 of 3)"."""
    return f"{name} ({pass_no} of {passes})" if passes > 1 else name


def place_text(part: str | None, title: str) -> str:
    """Where a step belongs: "Desk top of Cherry desk", or the job's title alone."""
    return title if part is None else f"{part} of {title}"


def in_sentence(name: str) -> str:
    """A name in the middle of a sentence: "Table saw" becomes "table saw", "MDF jig" stays."""
    name = name.replace("-", " ")
    return name[:1].lower() + name[1:] if name[1:2].islower() or len(name) == 1 else name


def slug(text: str) -> str:
    """The nearest valid id: a-z and 0-9, letters without accents, anything else a dash; "" if nothing is left."""
    plain = unicodedata.normalize("NFKD", text.lower()).encode("ascii", "ignore").decode()
    kept = "".join(c if c.isalnum() else "-" for c in plain)
    return "-".join(piece for piece in kept.split("-") if piece)[:MOST].rstrip("-")


def free_slug(text: str, taken: Container[str], otherwise: str = "new-job") -> str:
    """An id made from a text that is not taken: "bench", "bench-2". otherwise: used if the text gives none."""
    base = slug(text)[: MOST - 10].rstrip("-") or otherwise
    number, id = 2, base
    while id in taken:
        id, number = f"{base}-{number}", number + 1
    return id
