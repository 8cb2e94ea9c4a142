"""What a person did wrong, in words that the person can act on."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from shopday.text.safe import clean
from shopday.text.wrong_input import ErrorWithRemedy


class Fault(NamedTuple):
    """One thing wrong in one file. right: what would be right, "" if `wrong` says it all."""

    file: str
    line: int | None
    wrong: str
    right: str = ""

    def __str__(self) -> str:
        text = f"{self.place}: {self.wrong}"
        return clean(f"{text}; {self.right}" if self.right else text)

    @property
    def place(self) -> str:
        """The file, with its line if that is known."""
        return self.file if self.line is None else f"{self.file}:{self.line}"


class ShopdayError(ErrorWithRemedy):
    """A mistake of a person, or a file or disk that is not as it must be."""


class ShopFaults(ShopdayError):
    """Every fault found in a folder, in the order of files and lines."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(faults, key=lambda fault: (_rank(fault.file), fault.line or 0)))
        super().__init__("\n".join(map(str, self.faults)))


def _rank(file: str) -> tuple[int, str]:
    first = ("shop.toml", "materials.toml")
    return (first.index(file) if file in first else len(first)), file


def nearest(name: str, known: Iterable[str]) -> str | None:
    """The known name that alone begins so, or is most like a misspelt one; None if nothing is near."""
    from difflib import get_close_matches

    choices = list(known)
    begun = [choice for choice in choices if name and choice.lower().startswith(name.lower())]
    if len(begun) == 1:
        return begun[0]
    found = get_close_matches(name, choices, 1, 0.6) or get_close_matches(name.lower(), choices, 1, 0.6)
    return found[0] if found else None


def suggest(name: str, known: Iterable[str], otherwise: str = "") -> str:
    """What would be right instead of an unknown name: the nearest one, or all if they are few."""
    choices = list(dict.fromkeys(known))
    if found := nearest(name, choices):
        return f"did you mean `{found}`?"
    if choices and len(choices) <= 12:
        return "there is " + ", ".join(f"`{choice}`" for choice in choices)
    return otherwise
