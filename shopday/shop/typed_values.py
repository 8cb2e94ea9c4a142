"""Readers for answers to questions; each returns the value for the file, or raises ValueError, which says what would
be right."""

from __future__ import annotations

from collections.abc import Callable

from shopday.shop import quantities


def field_hours(typed: str) -> list[str]:
    """Spans of a day, separated by commas."""
    spans = quantities.day_spans([piece.strip() for piece in typed.split(",")])
    return [quantities.span_text(span) for span in spans]


def field_whole(least: int, most: int) -> Callable[[str], int]:
    def read(typed: str) -> int:
        if not (typed.isascii() and typed.isdigit() and least <= int(typed[:9]) <= most):
            raise ValueError(f"write a whole number from {least} to {most}")
        return int(typed)

    return read


def field_list(typed: str) -> list[str]:
    return [piece.strip() for piece in typed.split(",") if piece.strip()]


def field_choice(*choices: str) -> Callable[[str], str]:
    def read(typed: str) -> str:
        if typed not in choices:
            raise ValueError(f"write {', '.join(choices[:-1])} or {choices[-1]}")
        return typed

    return read
