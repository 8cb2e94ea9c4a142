"""What a person did wrong, in words a person can act on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

from shopday.text.safe import clean


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in one file. `right`: what would be right, "" when `wrong` says it all."""

    file: str
    line: int | None
    wrong: str
    right: str = ""

    def __str__(self) -> str:
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        text = f"{place}: {self.wrong}; {self.right}" if self.right else f"{place}: {self.wrong}"
        return clean(text)


class ShopdayError(Exception):
    """Anything a person did wrong; its text is one line that says what to do.

    `right`: what would be right, where it is known apart from what is `wrong`.
    """

    def __init__(self, wrong: str, right: str = "") -> None:
        super().__init__(f"{wrong}; {right}" if right else wrong)
        self.wrong, self.right = wrong, right


class ShopFaults(ShopdayError):
    """Every fault found in a folder, in the order of files and lines."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(faults, key=lambda fault: (_rank(fault.file), fault.line or 0)))
        super().__init__("\n".join(map(str, self.faults)))


def _rank(file: str) -> tuple[int, str]:
    first = ("shop.toml", "materials.toml")
    return (first.index(file) if file in first else len(first)), file


def nearest(name: str, known: Iterable[str]) -> str | None:
    """The known name most like a misspelt one; None when nothing is near."""
    choices = list(known)
    found = get_close_matches(name, choices, 1, 0.6) or get_close_matches(name.lower(), choices, 1, 0.6)
    return found[0] if found else None


def suggest(name: str, known: Iterable[str], otherwise: str = "") -> str:
    """What would be right instead of a name nobody knows: the nearest one, or all of a few."""
    choices = list(dict.fromkeys(known))
    if found := nearest(name, choices):
        return f"did you mean `{found}`?"
    if choices and len(choices) <= 12:
        return "there is " + ", ".join(f"`{choice}`" for choice in choices)
    return otherwise
