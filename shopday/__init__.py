"""shopday: what can I work on today, when could it be delivered, and what does one more pass do?

`shopday.api` describes what other programs may use; it is loaded when it is first asked for.
"""

from typing import TYPE_CHECKING, Any

__version__ = "0.2.0"

__all__ = ["DayView", "Fact", "JobRow", "Plan", "PlannedStep", "Quote", "ShopdayError", "Workshop"]

if TYPE_CHECKING:
    from shopday.api import (
        DayView,
        Fact,
        JobRow,
        Plan,
        PlannedStep,
        Quote,
        ShopdayError,
        Workshop,
    )


def __getattr__(name: str) -> Any:
    if name not in __all__:
        raise AttributeError(f"module 'shopday' has no attribute {name!r}")
    from shopday import api

    return getattr(api, name)
