"""Every text of every look can be read on what it stands on, and the row under the cursor and the focus are seen."""

from __future__ import annotations

from itertools import product

import pytest
from textual.color import Color
from textual.theme import Theme

from shopday.app.themes import BY_DAY, BY_NIGHT, INK, PLAIN_DAY, PLAIN_NIGHT

TEXT, SIGN = 4.5, 3.0
"""Least contrasts of WCAG 2.2: of text, and of signs such as the mark of the cursor."""
TERMINALS = {
    "first": {"black": 0x000000, "red": 0xAA0000, "blue": 0x0000AA, "white": 0xAAAAAA, "bright_red": 0xFF5555,
              "bright_green": 0x55FF55, "bright_yellow": 0xFFFF55, "bright_cyan": 0x55FFFF, "bright_white": 0xFFFFFF},
    "other": {"black": 0x000000, "red": 0xCD0000, "blue": 0x0000EE, "white": 0xE5E5E5, "bright_red": 0xFF0000,
              "bright_green": 0x00FF00, "bright_yellow": 0xFFFF00, "bright_cyan": 0x00FFFF, "bright_white": 0xFFFFFF},
}  # fmt: skip
"""What two usual terminals make of the 16 colours."""


def luminance(color: Color) -> float:
    parts = (value / 255 for value in color.rgb)
    red, green, blue = (v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Color, other: Color) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def color(named: str, terminal: str) -> Color:
    if named.startswith("ansi_"):
        value = TERMINALS[terminal][named.removeprefix("ansi_")]
        return Color(value >> 16, value >> 8 & 255, value & 255)
    return Color.parse(named)


def texts(look: Theme) -> dict[str, str]:
    names = ("foreground", "primary", "secondary", "accent", "warning", "error", "success")
    urgent = look.variables["urgent"].split()[-1]
    return {name: str(getattr(look, name)) for name in names} | {
        "muted": look.variables["muted"],
        "urgent": urgent,
    }


@pytest.mark.parametrize("look", [BY_DAY, BY_NIGHT, PLAIN_DAY, PLAIN_NIGHT], ids=lambda look: look.name)
@pytest.mark.parametrize("terminal", list(TERMINALS))
def test_text_is_readable_on_every_background(look: Theme, terminal: str) -> None:
    grounds = {str(look.background), str(look.surface), str(look.panel), look.variables["row-ground"]}
    worst = {
        (name, ground): found
        for (name, text), ground in product(texts(look).items(), grounds)
        if (found := contrast(color(text, terminal), color(ground, terminal))) < TEXT
    }
    assert worst == {}


@pytest.mark.parametrize("look", [BY_DAY, BY_NIGHT, PLAIN_DAY, PLAIN_NIGHT], ids=lambda look: look.name)
@pytest.mark.parametrize("terminal", list(TERMINALS))
def test_cursor_and_focus_are_visible(look: Theme, terminal: str) -> None:
    mark = color(str(look.accent), terminal)
    grounds = [str(look.background), str(look.surface), look.variables["row-ground"]]
    assert all(contrast(mark, color(ground, terminal)) >= SIGN for ground in grounds)


def test_without_colours_urgent_text_is_reversed_and_nothing_is_dimmed() -> None:
    assert "reverse" in INK.variables["urgent"]
    assert INK.variables["row"] == "reverse"
    assert set(texts(INK).values()) <= {"ansi_default", "reverse"}
