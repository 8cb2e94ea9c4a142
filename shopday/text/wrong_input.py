"""What somebody wrote that cannot be: what is wrong with it, and what would be right."""

from __future__ import annotations


class WrongInput(ValueError):
    """`wrong`: what is wrong; `right`: what would be right, "" where `wrong` says it all."""

    def __init__(self, wrong: str, right: str = "") -> None:
        super().__init__(f"{wrong}; {right}" if right else wrong)
        self.wrong, self.right = wrong, right


def wrong_and_right(error: Exception) -> tuple[str, str]:
    """Both, of any error: of one without a remedy, its text alone."""
    return (error.wrong, error.right) if isinstance(error, WrongInput) else (str(error), "")
