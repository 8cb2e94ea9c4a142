"""Days and times given to a command, read as the app reads them. A wrong one raises ShopdayError."""

from __future__ import annotations

import datetime as dt
from argparse import Namespace
from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

from shopday.shop.faults import ShopdayError
from shopday.shop.parse_moment import parse_last_of
from shopday.shop.parse_past import parse_past
from shopday.text.wrong_input import wrong_and_right

if TYPE_CHECKING:
    from shopday.planning.open_shop import OpenShop

T = TypeVar("T")


def typed_moment(args: Namespace, shop: OpenShop) -> dt.datetime | None:
    """When it happened, from --at; None: now."""
    return None if args.at is None else _read(args, "--at", lambda: parse_past(args.at, shop.now()))


def typed_day(args: Namespace, name: str, today: dt.date, first: dt.date | None = None) -> dt.date | None:
    """The day given by the argument `name`; None if none is. first: of the stretch of which it is the last."""
    typed = getattr(args, name.lstrip("-"))
    return None if typed is None else _read(args, name, lambda: parse_last_of(typed, today, first or today))


def _read(args: Namespace, name: str, read: Callable[[], T]) -> T:
    try:
        return read()
    except ValueError as error:
        wrong, right = wrong_and_right(error)
        raise ShopdayError(f"shopday {args.command}: {name}: {wrong}", right) from None
