"""Errors a person can act on: what is wrong, and what would be right."""

from __future__ import annotations


class ErrorWithRemedy(Exception):
    """An error whose text is one line that says what to do.

    wrong: what is wrong. right: what would be right or what to do, "" where `wrong` says it all.
    file:  the file in which it is wrong, "" where it is in none, or where `wrong` names it.
    """

    def __init__(self, wrong: str, right: str = "", file: str = "") -> None:
        said = f"{wrong}; {right}" if right else wrong
        super().__init__(f"{file}: {said}" if file else said)
        self.wrong, self.right, self.file = wrong, right, file

    def right_and(self, more: str) -> str:
        """What would be right, and something else to do."""
        return f"{self.right}; {more}" if self.right else more


class WrongInput(ErrorWithRemedy, ValueError):
    """A value that a person wrote and that is not possible."""


def wrong_and_right(error: Exception) -> tuple[str, str]:
    """Both, of any error: of one without a remedy, its text alone."""
    return (error.wrong, error.right) if isinstance(error, ErrorWithRemedy) else (str(error), "")
