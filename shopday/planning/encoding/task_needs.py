"""TaskNeeds: who can do a pass, what it uses, how its waits run, and how warm it must be."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

from shopday.journal.state import ShopState
from shopday.planning.encoding.absences import Clocks
from shopday.planning.encoding.open_hours import OpenHours
from shopday.planning.encoding.passes import Pass
from shopday.planning.encoding.shop_temperature import DOUBLES_PER, RATED_AT, Reading, Warmth, warmth
from shopday.scheduler import Crew, Phase
from shopday.shop.models import Only, Shop, Wait


class TaskNeeds:
    """Gives the people, stations, gear and rooms of a shop their indices, and makes calendars and clocks on demand.

    people:    ids by resource index; they are the first resources.
    resources: ids of people, stations and gear; `capacities` says how many there are of each.
    """

    def __init__(self, shop: Shop, state: ShopState, hours: OpenHours, clocks: Clocks) -> None:
        self.shop, self.state, self.hours, self.clocks = shop, state, hours, clocks
        self.people = tuple(person.id for person in shop.people)
        counts = [(s.id, s.count) for s in shop.stations] + [(g.id, g.count) for g in shop.gear]
        self.capacities = (1,) * len(self.people) + tuple(count for _, count in counts)
        self.resources = (*self.people, *(id for id, _ in counts))
        self._things = {id: len(self.people) + n for n, (id, _) in enumerate(counts)}
        self._rooms: dict[str, int] = {}
        self._known_crews: dict[tuple[int, bool, Only | None], tuple[Crew, ...]] = {}

    @cached_property
    def warmth(self) -> Warmth | None:
        """The shop's temperature; None if nothing is known of it."""
        readings = [Reading(minute, celsius) for minute, celsius in self.state.readings]
        return warmth(self.shop.temperature, self.hours.daytime, readings)

    def crews(self, p: Pass) -> tuple[Crew, ...]:
        """Every crew that can do the pass, the preferred ones first."""
        key = (p.step.hands, p.noisy, p.step.only)
        if key not in self._known_crews:
            self._known_crews[key] = tuple(self._crew(people, p) for people in self._teams(p.step.hands))
        return self._known_crews[key]

    def same_people(self, p: Pass, crews: tuple[Crew, ...]) -> tuple[Crew, ...]:
        """The crew of the people logged; if they are not as many as the step needs, every crew that they are part
        of."""
        logged = p.log.people if p.log is not None else ()
        known = tuple(person for person in logged if person in self.people)
        if len(known) == p.step.hands:
            return (self._crew(known, p),)
        wanted = {self.people.index(person) for person in known}
        return tuple(crew for crew in crews if wanted <= set(crew.people)) or crews

    def _teams(self, hands: int) -> Iterator[tuple[str, ...]]:
        """The makers in the order written. For two hands: each maker with everybody else, each pair once."""
        makers = [person.id for person in self.shop.people if person.role == "maker"]
        if hands == 1:
            yield from ((maker,) for maker in makers)
            return
        seen: set[frozenset[str]] = set()
        for maker in makers:
            for other in self.people:
                if other != maker and frozenset((maker, other)) not in seen:
                    seen.add(frozenset((maker, other)))
                    yield maker, other

    def _crew(self, people: tuple[str, ...], p: Pass) -> Crew:
        calendar = self.hours.crew(people, p.noisy, p.step.only)
        return Crew(tuple(self.people.index(person) for person in people), calendar)

    def uses(self, p: Pass) -> tuple[tuple[int, int], ...]:
        """The stations and gear that a pass uses, as (resource, amount)."""
        stations = [(self._things[id], 1) for id in p.stations]
        return (*stations, *((self._things[id], count) for id, count in p.step.gear.items()))

    def room(self, p: Pass) -> int:
        """The index of the room in which the work is done."""
        return self._rooms.setdefault(p.room, len(self._rooms))

    def phase(self, p: Pass, wait: Wait) -> Phase:
        """A wait of the pass as a phase of the scheduler."""
        return Phase(
            takes=wait.takes,
            clock=self.cure(p) if wait.cures and self.warmth is not None else None,
            keeps=() if wait.informs else tuple(self._things[id] for id in p.keeps(wait)),
            needs_still_air=wait.still_air and not wait.informs,
            informational=wait.informs,
        )

    def cure(self, p: Pass) -> int:
        """The index of the clock by which the material cures. The shop's temperature must be known."""
        shop, material = self.warmth, p.material
        assert shop is not None
        rated = (
            None
            if material is None
            else (material.rated_at, material.doubles_per, material.activation_kj, material.highest)
        )
        return self.clocks.of(
            f"cure {rated or (RATED_AT, DOUBLES_PER, None, None)}", lambda: shop.clock(material)
        )

    def warm_enough(self, p: Pass) -> int | None:
        """The index of the calendar of minutes warm enough for the material; None if every minute is."""
        lowest, shop = p.material.lowest if p.material else None, self.warmth
        if lowest is None or shop is None or all(d is None or d >= lowest for d in shop.degrees):
            return None
        return self.hours.add(("warm", lowest), lambda: shop.warm(lowest))
