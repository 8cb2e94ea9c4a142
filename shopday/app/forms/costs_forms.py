"""The lines and forms of My shop for prices and for tins that go off."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence

from shopday.app.dialogs.form_dialog import Blank
from shopday.app.forms.parse_field import field_amount, field_day, field_past_day
from shopday.app.forms.settings_line import SettingsLine, day_said
from shopday.app.widgets.pick_line import Pickable
from shopday.shop.models import Material, Prices, Stock
from shopday.text.money import money_text

AMOUNT = field_amount(100_000)
LONGEST_CURRENCY = 8


def number_text(amount: float | None) -> str:
    """A number as it is typed; "" for None."""
    return "" if amount is None else f"{amount:g}"


def price_lines(prices: Prices, materials: Mapping[str, Material]) -> list[SettingsLine]:
    """What an hour of work costs, then what a litre costs of each material that has a price."""
    priced = [_litre(id, price, prices, materials) for id, price in prices.litre.items()]
    return [_hour(prices), *priced, _another_litre(prices, materials)]


def _hour(prices: Prices) -> SettingsLine:
    told = (
        "not told" if prices.hour is None else f"{money_text(prices.hour, prices.currency)} an hour of work"
    )
    blanks = [
        Blank("currency", "Currency", prices.currency, "EUR", _currency),
        Blank("hour", "An hour of work", number_text(prices.hour), "55, or empty", AMOUNT),
    ]
    return SettingsLine("Work", told, blanks, "prices")


def _currency(typed: str) -> str:
    if len(typed) > LONGEST_CURRENCY:
        raise ValueError(f"write at most {LONGEST_CURRENCY} letters, as EUR")
    return typed


def _litre(id: str, price: float, prices: Prices, materials: Mapping[str, Material]) -> SettingsLine:
    blanks = [Blank(id, "A litre costs", number_text(price), "30; empty: no price", AMOUNT)]
    told = f"{money_text(price, prices.currency)} a litre"
    return SettingsLine(_name(id, materials), told, blanks, "litre")


def _another_litre(prices: Prices, materials: Mapping[str, Material]) -> SettingsLine:
    others = _pickable(materials, set(prices.litre))
    blanks = [
        Blank("material", "Material", "", "pick one", pickable=others, needed="pick a material"),
        Blank("litre", "A litre costs", "", "30", AMOUNT, needed="write a number from 0 to 100000"),
    ]
    return SettingsLine("+ price of a material", "", blanks, "litre", new=True)


def stock_lines(
    stock: Sequence[Stock], materials: Mapping[str, Material], today: dt.date
) -> list[SettingsLine]:
    tins = [_tin(tin, place, materials, today) for place, tin in enumerate(stock)]
    return [*tins, _tin(None, len(stock), materials, today)]


def _tin(tin: Stock | None, place: int, materials: Mapping[str, Material], today: dt.date) -> SettingsLine:
    at = tin or Stock(material="x")
    blanks = [
        Blank(
            "material", "Material", tin.material if tin else "", "pick one",
            pickable=_pickable(materials), needed="pick a material",
        ),
        Blank("opened", "Opened", day_said(at.opened, today), "1 Jun, or empty", field_past_day(today)),
        Blank("expires", "Good until", day_said(at.expires, today), "the day on it, 18 Dec, or empty", field_day(today)),
    ]  # fmt: skip
    if tin is None:
        return SettingsLine("+ another tin", "", blanks, "stock", place, new=True)
    days = (("opened", tin.opened), ("good until", tin.expires))
    told = [f"{word} {day_said(date, today)}" for word, date in days if date is not None]
    return SettingsLine(_name(tin.material, materials), ", ".join(told) or "keeps", blanks, "stock", place)


def _pickable(materials: Mapping[str, Material], besides: Iterable[str] = ()) -> Pickable:
    left_out = set(besides)
    named = ((id, _name(id, materials)) for id in materials if id not in left_out)
    return tuple(sorted(named, key=lambda pair: pair[1].lower()))


def _name(id: str, materials: Mapping[str, Material]) -> str:
    material = materials.get(id)
    return material.name if material and material.name else id
