"""Two looks of the same bench: by day planed maple and pencil, with the lamp out graphite and sawdust."""

from __future__ import annotations

from typing import Any

from textual.app import App
from textual.theme import Theme

BY_DAY = Theme(
    name="shop-day",
    primary="#8a5a2b",
    secondary="#3f6173",
    accent="#a8471f",
    warning="#9a6a00",
    error="#a3261d",
    success="#4d6b32",
    foreground="#2a2622",
    background="#f3ecdf",
    surface="#eae0cd",
    panel="#ddcfb5",
    dark=False,
    variables={"muted": "#5e554a", "footer-key-foreground": "#8a3d17", "block-cursor-text-style": "none"},
)

BY_NIGHT = Theme(
    name="shop-night",
    primary="#c99a62",
    secondary="#8fb0bf",
    accent="#e08a55",
    warning="#dcb35c",
    error="#e8705f",
    success="#9db877",
    foreground="#e7dfd1",
    background="#1d1b19",
    surface="#262320",
    panel="#37322c",
    dark=True,
    variables={"muted": "#b3a999", "footer-key-foreground": "#e08a55", "block-cursor-text-style": "none"},
)


def register_themes(app: App[Any]) -> None:
    """Both looks, the dark one first: set before the app runs, so that its styles are worked out only once."""
    app.register_theme(BY_DAY)
    app.register_theme(BY_NIGHT)
    app.set_reactive(App.theme, BY_NIGHT.name)
    app.stylesheet.set_variables(app.get_css_variables())
