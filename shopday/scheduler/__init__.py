"""The constraint scheduler: a resource-constrained project (RCPSP) with minimum and maximum time lags, in whole minutes.

This is its only door. State a `Problem` of `Task`s; ask for the `first` schedule, for better and better ones (`improve`,
`improve_in_parallel`, `improve_thoroughly`), or for a `repair` of one that is kept; judge any `Result` with `verify`. Where hard windows cannot
be met, `contradiction` finds the chain that forbids it.

What states a problem and its answer is loaded with the package; what works on them is loaded when first asked for, because
commands and the app start without it.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

from shopday.scheduler.model.calendars import FOREVER, Calendar, MinuteSpan, merge_spans, spans_overlap
from shopday.scheduler.model.clocks import DAY, Clock, RatedClock, WeekdayClock
from shopday.scheduler.model.heartbeats import Steps, finished
from shopday.scheduler.model.phase_times import phase_times
from shopday.scheduler.model.problem import (
    COMPLETE,
    END,
    START,
    Crew,
    Delivery,
    Lag,
    Phase,
    Problem,
    Task,
    Window,
)
from shopday.scheduler.model.result import Cause, Placed, Refusal, Result, Schedule

if TYPE_CHECKING:
    from shopday.scheduler.exact_engine import exact_engine_trouble
    from shopday.scheduler.infeasible.constraint_network import ConstraintSource, TimeConstraint
    from shopday.scheduler.infeasible.contradiction import Chain, contradiction
    from shopday.scheduler.placing.builder import Builder
    from shopday.scheduler.placing.built_schedule import BuiltSchedule
    from shopday.scheduler.placing.prepared_problem import PreparedProblem
    from shopday.scheduler.placing.task_preparer import least_stretch, start_hours
    from shopday.scheduler.search.parallel_search import improve_in_parallel
    from shopday.scheduler.search.polish import polished
    from shopday.scheduler.search.repair import KeptPlace, kept_of, repair
    from shopday.scheduler.search.solve import first, improve, solve
    from shopday.scheduler.thorough_search import improve_thoroughly
    from shopday.scheduler.verifier import totals, verify, verify_result

LOADED_WHEN_ASKED_FOR = {
    "exact_engine": ("exact_engine_trouble",),
    "infeasible.constraint_network": ("ConstraintSource", "TimeConstraint"),
    "infeasible.contradiction": ("Chain", "contradiction"),
    "placing.builder": ("Builder",),
    "placing.built_schedule": ("BuiltSchedule",),
    "placing.prepared_problem": ("PreparedProblem",),
    "placing.task_preparer": ("least_stretch", "start_hours"),
    "search.parallel_search": ("improve_in_parallel",),
    "search.polish": ("polished",),
    "search.repair": ("KeptPlace", "kept_of", "repair"),
    "search.solve": ("first", "improve", "solve"),
    "thorough_search": ("improve_thoroughly",),
    "verifier": ("totals", "verify", "verify_result"),
}
"""The names by the module that defines them."""

_HOME = {name: module for module, names in LOADED_WHEN_ASKED_FOR.items() for name in names}

__all__ = [
    "COMPLETE",
    "DAY",
    "END",
    "FOREVER",
    "START",
    "Builder",
    "BuiltSchedule",
    "Calendar",
    "Cause",
    "Chain",
    "Clock",
    "ConstraintSource",
    "Crew",
    "Delivery",
    "KeptPlace",
    "Lag",
    "MinuteSpan",
    "Phase",
    "Placed",
    "PreparedProblem",
    "Problem",
    "RatedClock",
    "Refusal",
    "Result",
    "Schedule",
    "Steps",
    "Task",
    "TimeConstraint",
    "WeekdayClock",
    "Window",
    "contradiction",
    "exact_engine_trouble",
    "finished",
    "first",
    "improve",
    "improve_in_parallel",
    "improve_thoroughly",
    "kept_of",
    "least_stretch",
    "merge_spans",
    "phase_times",
    "polished",
    "repair",
    "solve",
    "spans_overlap",
    "start_hours",
    "totals",
    "verify",
    "verify_result",
]


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(import_module(f"{__name__}.{_HOME[name]}"), name)
    globals()[name] = value
    return value
