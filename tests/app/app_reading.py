"""What a person reads on the screen."""

from __future__ import annotations

from textual.widgets import Static

from shopday.app.app import ShopdayApp
from shopday.app.rows import Rows


def read(app: ShopdayApp, selector: str) -> str:
    return str(app.screen.query_one(selector, Static).render())


def news(app: ShopdayApp) -> str:
    return read(app, "#news")


def rows_text(app: ShopdayApp, selector: str) -> str:
    return app.screen.query_one(selector, Rows).text


def toasts(app: ShopdayApp) -> list[str]:
    return [notification.message for notification in app._notifications]
