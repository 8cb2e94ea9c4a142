"""Conflicts between steps: people, stations and gear that both need, and dust against still air."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from shopday.planning.plan import Moment, PlannedStep, later
from shopday.planning.step_names import things
from shopday.shop.folder import ShopFolder
from shopday.text.sentences import both


class Conflict(NamedTuple):
    """`row` has what another step needs, from `since` until `free`; `said` tells it ("the bench is taken by ...").

    kept: stations and gear that a wait keeps.
    air:  True if the conflict is about dust.
    """

    row: PlannedStep
    since: Moment
    free: Moment
    said: str
    kept: tuple[str, ...] = ()
    air: bool = False


class Conflicts:
    """Finds the conflicts with the given rows of a plan."""

    def __init__(self, folder: ShopFolder, rows: Iterable[PlannedStep]) -> None:
        self.folder = folder
        self.work = [row for row in rows if row.kind == "work"]

    def of(self, step: PlannedStep) -> Iterator[Conflict]:
        """Every conflict of a step with another row."""
        for row in self.work:
            if row.key != step.key:
                yield from self._hands_and_things(step, row)
                if row.room == step.room:
                    yield from self._air(step, row)

    def _hands_and_things(self, step: PlannedStep, row: PlannedStep) -> Iterator[Conflict]:
        if shared := [person for person in step.people if person in row.people]:
            busy = f"{people_are(self.folder, shared)} busy with {row.full}"
            yield Conflict(row, row.start, row.end, busy)
        mine = (*step.stations, *step.gear)
        if used := [id for id in (*row.stations, *row.gear) if id in mine]:
            yield Conflict(row, row.start, row.end, f"{self._things_are(used, row)} taken by {row.full}")
        for wait in row.waits:
            if wait.free is not None and (kept := tuple(id for id in wait.keeps if id in mine)):
                said = f"{self._things_are(kept, row)} kept by {row.full} ({wait.name})"
                yield Conflict(row, wait.start, wait.free, said, kept)

    def _air(self, step: PlannedStep, row: PlannedStep) -> Iterator[Conflict]:
        if step.still_air and row.dusty:
            settled = later(row.end, self.folder.shop.rules.dust_settles)
            yield Conflict(row, row.start, settled, f"the dust of {row.full} settles", air=True)
        if not step.dusty:
            return
        for wait in row.waits:
            if wait.still_air and not wait.informs:
                said = f"{row.full} wants still air ({wait.name})"
                yield Conflict(row, wait.start, wait.end, said, air=True)
        if row.still_air:
            yield Conflict(row, row.start, row.end, f"{row.full} wants still air", air=True)

    def _things_are(self, ids: Sequence[str], row: PlannedStep) -> str:
        single = len(ids) == 1 and row.gear.get(ids[0], 1) == 1
        return f"{things(self.folder, ids, row.gear)} {'is' if single else 'are'}"


def people_are(folder: ShopFolder, ids: Sequence[str]) -> str:
    """The people with their verb: "Ann is"; "you are" if the shop has one person."""
    if len(folder.shop.people) == 1:
        return "you are"
    names = {person.id: person.name or person.id for person in folder.shop.people}
    return f"{both(names.get(id, id) for id in ids)} {'is' if len(ids) == 1 else 'are'}"
