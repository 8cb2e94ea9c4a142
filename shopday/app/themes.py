"""The looks of the app: light in maple and pencil, dark in graphite and sawdust; one pair for terminals of 16
colours, and one without any colour.

Beside Textual's own names each look has: `muted`, quiet text; `urgent`, urgent text; `veil`, which covers the screen
behind a dialog; `row`, the row under the cursor, and `row-ground`, its background.
"""

from __future__ import annotations

import os
import sys
from typing import Any

from textual.app import App
from textual.theme import Theme

WIDTHS = [(0, "-narrow"), (60, "-middle"), (116, "-wide")]
"""The least cells of a width, and the class that screens of it have."""

BY_DAY = Theme(
    name="shop-day",
    primary="#7c4f24",
    secondary="#365565",
    accent="#963d18",
    warning="#735000",
    error="#98221a",
    success="#3f5a27",
    foreground="#2a2622",
    background="#f3ecdf",
    surface="#eae0cd",
    panel="#ddcfb5",
    dark=False,
    variables={
        "muted": "#574e44", "urgent": "bold #98221a", "veil": "#2a2622 45%", "row": "none", "row-ground": "#ddcfb5",
        "footer-key-foreground": "#8a3d17", "block-cursor-text-style": "none", "foreground-muted": "#574e44",
    },
)  # fmt: skip

BY_NIGHT = Theme(
    name="shop-night",
    primary="#c99a62",
    secondary="#8fb0bf",
    accent="#e8965f",
    warning="#dcb35c",
    error="#f0857a",
    success="#9db877",
    foreground="#e7dfd1",
    background="#1d1b19",
    surface="#262320",
    panel="#37322c",
    dark=True,
    variables={
        "muted": "#b3a999", "urgent": "bold #f0857a", "veil": "#0c0b0a 60%", "row": "none", "row-ground": "#37322c",
        "footer-key-foreground": "#e08a55", "block-cursor-text-style": "none", "foreground-muted": "#b3a999",
    },
)  # fmt: skip


def _plain(name: str, ground: str, ink: str, bright: str, colours: tuple[str, str, str], dark: bool) -> Theme:
    """A look in the terminal's own colours. The row under the cursor is reversed, as there are no shades.

    colours: of headings and bars, of what is urgent, of what is well.
    """
    primary, error, success = colours
    urgent = "bold reverse" if error == ink else f"bold {error}"
    return Theme(
        name=name, ansi=True, dark=dark, primary=primary, secondary=primary, accent=bright, warning=error, error=error,
        success=success, foreground=ink, background=ground, surface=ground, panel=ground, boost=ground,
        variables={
            "ansi-background": ground, "ansi-foreground": ink, "muted": ink, "urgent": urgent, "veil": ground, "row": "reverse", "row-ground": ground,
            "block-cursor-text-style": "none", "block-cursor-foreground": ground, "block-cursor-background": ink,
            "input-cursor-background": ink, "input-cursor-foreground": ground, "border": ink, "border-blurred": ink,
            "input-selection-background": ink, "input-selection-foreground": ground, "foreground-muted": ink,
        },
    )  # fmt: skip


PLAIN_NIGHT = _plain(
    "plain-night", "ansi_black", "ansi_white", "ansi_bright_cyan",
    ("ansi_bright_yellow", "ansi_bright_red", "ansi_bright_green"), dark=True,
)  # fmt: skip
PLAIN_DAY = _plain(
    "plain-day", "ansi_bright_white", "ansi_black", "ansi_blue", ("ansi_blue", "ansi_red", "ansi_black"), dark=False,
)  # fmt: skip
INK = _plain("ink", "ansi_default", "ansi_default", "ansi_default", ("ansi_default",) * 3, dark=True)

LOOKS = {"full": (BY_NIGHT, BY_DAY), "plain": (PLAIN_NIGHT, PLAIN_DAY), "ink": (INK, INK)}
"""The dark and the light look, by what the terminal can show."""


def terminal_shows(app: App[Any]) -> str:
    """What a terminal can show: "full" colour, 16 colours ("plain"), or none ("ink")."""
    if app.no_color:
        return "ink"
    on_terminal = sys.stdout.isatty() and "TEXTUAL_DRIVER" not in os.environ
    few = (
        os.environ.get("TEXTUAL_COLOR_SYSTEM", app.console.color_system if on_terminal else "") == "standard"
    )
    return "plain" if few else "full"


def register_themes(app: App[Any], light: bool = False) -> None:
    """Register all looks and set the first one, before the app runs, so that its styles are worked out only once."""
    for look in (BY_NIGHT, BY_DAY, PLAIN_NIGHT, PLAIN_DAY, INK):
        app.register_theme(look)
    theme = LOOKS[terminal_shows(app)][light]
    app.set_reactive(App.theme, theme.name)
    app.stylesheet.set_variables(app.get_css_variables())


def other_look(app: App[Any]) -> Theme:
    """The light look for the dark one, and the reverse."""
    dark, light = next(pair for pair in LOOKS.values() if app.theme in {look.name for look in pair})
    return light if app.theme == dark.name else dark
