"""Steps that need a reading of moisture: the limits, and why a reading forbids the start."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from shopday.shop.materials.formulas import equilibrium_moisture
from shopday.shop.models import Moisture, Shop, Step

MOISTURE_TOLERANCE = 2.0
"""Points of moisture. Published (Wood Handbook): the parts of one piece stay within 2 points of each other, and so
of the equilibrium with the shop's air."""
HEATED_HOME = (6.0, 9.0)
"""Published: moisture (%) of furniture in heated homes. Used if the humidity of the shop is unknown."""
USUAL_DAY = 20.0
"""Degrees Celsius, for a shop that states no temperature."""

MoistureGate = Literal["", "unread", "wrong", "right"]
""""": no reading is asked for; "unread": none yet; "wrong": one is outside the limits; "right": all are within."""


def moisture_limits(asked: Moisture, shop: Shop) -> tuple[float, float]:
    """The least and the most moisture (%): as written, else near the equilibrium with the shop's air."""
    least, most = HEATED_HOME
    if shop.humidity is not None:
        day = shop.temperature.day if shop.temperature is not None else USUAL_DAY
        balance = equilibrium_moisture(day, shop.humidity / 100)
        least, most = max(0.0, balance - MOISTURE_TOLERANCE), balance + MOISTURE_TOLERANCE
    least = min(least, asked.most) if asked.least is None and asked.most is not None else least
    most = max(most, asked.least) if asked.most is None and asked.least is not None else most
    return (least if asked.least is None else asked.least), (most if asked.most is None else asked.most)


def gate(step: Step, shop: Shop, readings: Mapping[str, float]) -> MoistureGate:
    if step.moisture is None:
        return ""
    return "unread" if not readings else "wrong" if _outside(step.moisture, shop, readings) else "right"


def gate_text(step: Step, shop: Shop, readings: Mapping[str, float]) -> str:
    """Why the moisture forbids the start, in words; "" if it does not."""
    if step.moisture is None:
        return ""
    least, most = moisture_limits(step.moisture, shop)
    wants = f"the wood must be at {least:.1f} to {most:.1f} %"
    if not readings:
        return f"no reading of moisture yet, and {wants}"
    if board := _outside(step.moisture, shop, readings):
        name = f"board {board}" if board != UNNAMED else "the last reading"
        return f"{name} is at {readings.get(board, readings.get('', 0)):.1f} % moisture, and {wants}"
    return ""


UNNAMED = "the one"


def _outside(asked: Moisture, shop: Shop, readings: Mapping[str, float]) -> str:
    """The board farthest outside the limits; "" if all are within."""
    least, most = moisture_limits(asked, shop)
    off = {board: max(least - percent, percent - most) for board, percent in readings.items()}
    worst = max(off, key=lambda board: off[board])
    return (worst or UNNAMED) if off[worst] > 0.05 else ""
