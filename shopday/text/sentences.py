"""Joins words into lists and whole sentences."""

from __future__ import annotations

from collections.abc import Iterable


def both(names: Iterable[str]) -> str:
    """ "a, b and c"."""
    items = list(names)
    return items[0] if len(items) == 1 else f"{', '.join(items[:-1])} and {items[-1]}" if items else ""


def sentence(text: str) -> str:
    """The text with a capital letter and a full stop."""
    text = text.strip()
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith(('.', '?', '!')) else '.'}"
