"""Which screen stands for which place; loaded when first gone to."""

from __future__ import annotations

from shopday.app.shopscreen import ShopScreen


def open_place(name: str) -> ShopScreen:
    from shopday.app.today_screen import TodayScreen

    return TodayScreen()
