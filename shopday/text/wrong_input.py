"""Errors that a person can act on: what is wrong, and what would be right."""

from __future__ import annotations


class ErrorWithRemedy(Exception):
    """An error whose message is one line that says what to do.

    wrong: what is wrong.
    right: what would be right or what to do; "" if `wrong` says it all.
    file:  the file that it is in; "" if there is none, or if `wrong` names it.
    """

    def __init__(self, wrong: str, right: str = "", file: str = "") -> None:
        said = f"{wrong}; {right}" if right else wrong
        super().__init__(f"{file}: {said}" if file else said)
        self.wrong, self.right, self.file = wrong, right, file

    def right_and(self, more: str) -> str:
        """What would be right, with something else to do."""
        return f"{self.right}; {more}" if self.right else more


class WrongInput(ErrorWithRemedy, ValueError):
    """A value that a person wrote and that is not possible."""


def wrong_and_right(error: Exception) -> tuple[str, str]:
    """What is wrong and what would be right, for any error; one without a remedy gives its message and ""."""
    return (error.wrong, error.right) if isinstance(error, ErrorWithRemedy) else (str(error), "")
