"""What a job can wait for before it begins: a deposit, approval of a drawing, timber, hardware.

Each is time that somebody else needs, with its usual length (common practice, calendar days).
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from shopday.shop.models import After, Away, Part, Step
from shopday.shop.quantities import DAY
from shopday.shop.recipes.combine_parts import waiting_also

PART = "before"


@dataclass(frozen=True, slots=True)
class Gate:
    """One thing that a job waits for.

    days:   the shortest, usual and longest wait.
    first:  the gates that it comes after.
    begins: all work waits for it; otherwise only assembly and delivery do.
    draws:  minutes of work before it.
    """

    id: str
    name: str
    who: str
    days: tuple[int, int, int]
    first: tuple[str, ...] = ()
    begins: bool = True
    draws: int = 0


GATES = (
    Gate("deposit", "Deposit", "customer", (2, 4, 7)),
    Gate("drawing", "Drawing approved", "customer", (3, 7, 10), draws=120),
    Gate("timber", "Timber", "timber merchant", (3, 7, 14), ("deposit", "drawing")),
    Gate("hardware", "Hardware", "hardware supplier", (3, 10, 21), ("deposit", "drawing"), begins=False),
)


def gate_part(chosen: Collection[str]) -> Part | None:
    """The gates as a part of the job; None if there are none."""
    gates = [gate for gate in GATES if gate.id in chosen]
    steps = [step for gate in gates for step in _steps(gate, chosen)]
    return Part(id=PART, name="Before the work", steps=tuple(steps)) if steps else None


def behind_gates(parts: Sequence[Part], chosen: Collection[str]) -> tuple[Part, ...]:
    """The parts, with their first steps waiting for the gates."""
    gates = tuple(f"{PART}/{gate.id}" for gate in GATES if gate.id in chosen and gate.begins)
    return tuple(waiting_also(part, gates) for part in parts)


def _steps(gate: Gate, chosen: Collection[str]) -> list[Step]:
    shortest, usual, longest = (day * DAY for day in gate.days)
    before = tuple(After(step=id) for id in gate.first if id in chosen)
    away = Away(who=gate.who, takes=("minutes", usual))
    step = Step(id=gate.id, name=gate.name, away=away, spread=(shortest, longest), after=before)
    if not gate.draws:
        return [step]
    drawn = Step(id=f"make-{gate.id}", name="Draw it and send the drawing", hands_on=gate.draws, after=())
    return [drawn, step.model_copy(update={"after": (After(step=drawn.id),)})]
