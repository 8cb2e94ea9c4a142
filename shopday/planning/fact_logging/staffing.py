"""Who starts a step: the people planned for it, else those who are in and free."""

from __future__ import annotations

from collections.abc import Sequence

from shopday.journal.state import PassState, ShopState
from shopday.planning.encoding.open_hours import OpenHours
from shopday.shop.faults import ShopdayError, suggest
from shopday.shop.models import Person, Shop


def who_starts(
    hours: OpenHours, state: ShopState, planned: tuple[str, ...], hands: int, minute: int
) -> tuple[str, ...]:
    """Up to `hands` people, makers first. Outside all hours they are among those who are in that day: people come
    early and stay late."""
    here = _in_at(hours, minute)
    if len(planned) == hands and {person.id for person in here}.issuperset(planned):
        return planned
    busy = {person for log in state.passes.values() if _holds(log, minute) for person in log.people}
    free_first = sorted(here, key=lambda person: (person.id in busy, person.role != "maker"))
    return tuple(
        person.id for person in sorted(free_first[:hands], key=lambda person: person.role != "maker")
    )


def named(shop: Shop, names: Sequence[str], hands: int) -> tuple[str, ...]:
    """The ids of these people, given by id or name. Raises ShopdayError if one is unknown, or if they are not as
    many as the step needs."""
    known = {
        said.casefold(): person.id for person in shop.people for said in (person.name, person.id) if said
    }
    for name in names:
        if name.casefold() not in known:
            people = [person.name or person.id for person in shop.people]
            raise ShopdayError(f"there is nobody called {name!r}", suggest(name, people))
    found = tuple(dict.fromkeys(known[name.casefold()] for name in names))
    if len(found) != hands:
        raise ShopdayError(f"it takes {'one person' if hands == 1 else f'{hands} people'}", "name as many")
    return found


def _in_at(hours: OpenHours, minute: int) -> list[Person]:
    """The people in at the minute; if nobody is, those in on that day; on a day off, everybody."""
    people = list(hours.shop.people)
    midnight = hours.zone.minute(hours.zone.date(minute))
    here = [p for p in people if hours.calendars[hours.person(p)].span_at(minute)]
    return here or [p for p in people if _is_in(hours, p, midnight)] or people


def _is_in(hours: OpenHours, person: Person, midnight: int) -> bool:
    """True if the person is in at some time on the day that begins at `midnight`."""
    opens = hours.calendars[hours.person(person)].open_from(midnight)
    return opens is not None and hours.zone.date(opens) == hours.zone.date(midnight)


def _holds(log: PassState, minute: int) -> bool:
    """True if somebody had the pass in hand at the minute."""
    return any(s.start <= minute and (s.end is None or minute < s.end) for s in log.worked(minute + 1))
