"""Public holidays of a country or region, for the days off of a new shop."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from zoneinfo import TZPATH

from shopday.text.wrong_input import WrongInput

ENGLISH = "en_US"
"""The language of the names, if the country's holidays have names in it."""
RIGHT = "write two letters as DE, with the part of the country behind them as DE-BY where holidays differ"


def country_of_zone(zone: str) -> str:
    """The country of a time zone, by the list that comes with the zones; "" if the list does not tell."""
    for folder in TZPATH:
        try:
            lines = (Path(folder) / "zone.tab").read_text("utf-8").splitlines()
        except OSError:
            continue
        rows = (line.split("\t") for line in lines if not line.startswith("#"))
        return next((row[0] for row in rows if row[2:3] == [zone]), "")
    return ""


def read_country(typed: str) -> str:
    """A country or region as "DE" or "DE-BY". Raises WrongInput, which says what would be right."""
    from holidays import (
        list_supported_countries,
    )  # a twentieth of a second, and asked for once in a shop's life

    country, _, region = typed.strip().upper().partition("-")
    known = list_supported_countries()
    if country not in known:
        raise WrongInput(f"{typed} is no country whose holidays are known", RIGHT)
    if region and region not in known[country]:
        regions = ", ".join(known[country]) or "no parts whose holidays differ"
        raise WrongInput(f"{country} has no part {region}", f"it has {regions}")
    return f"{country}-{region}" if region else country


def public_holidays(country: str, first: dt.date, last: dt.date) -> dict[dt.date, str]:
    """The holidays by date, from `first` to `last`, both included. country: as `read_country` returns it."""
    from holidays import country_holidays

    of, _, region = country.partition("-")
    years = range(first.year, last.year + 1)
    named = country_holidays(of, subdiv=region or None)
    language = ENGLISH if ENGLISH in named.supported_languages else None
    found = country_holidays(of, subdiv=region or None, years=years, language=language)
    return {date: why for date, why in sorted(found.items()) if first <= date <= last}
