"""Steps that ask for a reading of moisture: what it must show, and what stands in the way of the start."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from shopday.shop.materials.formulas import equilibrium_moisture
from shopday.shop.models import Moisture, Shop, Step

WITHIN = 2.0
"""Published (Wood Handbook): pieces of one work lie within 2 points of each other, so of what the shop's air leads to."""
HEATED_HOME = (6.0, 9.0)
"""Published: moisture (%) of furniture in heated homes, where nothing is known of the shop's air."""
USUAL_DAY = 20.0
"""Degrees Celsius of a shop that gives none."""

MoistureGate = Literal["", "unread", "wrong", "right"]
"""No reading asked for; none yet; one outside the limits; all within."""


def moisture_limits(asked: Moisture, shop: Shop) -> tuple[float, float]:
    """Least and most per cent: as written, else about what wood comes to in the shop's own air."""
    least, most = HEATED_HOME
    if shop.humidity is not None:
        day = shop.temperature.day if shop.temperature is not None else USUAL_DAY
        balance = equilibrium_moisture(day, shop.humidity / 100)
        least, most = max(0.0, balance - WITHIN), balance + WITHIN
    least = min(least, asked.most) if asked.least is None and asked.most is not None else least
    most = max(most, asked.least) if asked.most is None and asked.least is not None else most
    return (least if asked.least is None else asked.least), (most if asked.most is None else asked.most)


def gate(step: Step, shop: Shop, readings: Mapping[str, float]) -> MoistureGate:
    if step.moisture is None:
        return ""
    return "unread" if not readings else "wrong" if _outside(step.moisture, shop, readings) else "right"


def gate_text(step: Step, shop: Shop, readings: Mapping[str, float]) -> str:
    """What stands in the way of its start, in words; "" for nothing."""
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
    """The board that is farthest from the limits; "" where all lie within."""
    least, most = moisture_limits(asked, shop)
    off = {board: max(least - percent, percent - most) for board, percent in readings.items()}
    worst = max(off, key=lambda board: off[board])
    return (worst or UNNAMED) if off[worst] > 0.05 else ""
