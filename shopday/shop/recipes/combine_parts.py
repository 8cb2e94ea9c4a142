"""Combines parts into a job: which steps of one part wait for steps of another."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from shopday.shop.models import After, Part, Step
from shopday.shop.recipes.make_part import MadePart
from shopday.shop.recipes.recipe_model import Recipe

Addresses = tuple[str, ...]


def joined(made: Sequence[tuple[Recipe, MadePart]]) -> tuple[Part, ...]:
    """The parts of a job in the order chosen, each waiting for what it needs of the others.

    A finish waits for the pieces listed since the finish before it, or for that finish if there are none between; what
    is done to a piece once it is `finished` waits for its finish instead. A
    step that `needs` a top waits for every top of the job: until it is made, or finished if a finish for it is
    listed before. Nothing waits in a circle, whatever the recipes: a step waits for parts listed before its own, or
    for the making of one listed after it, and making waits for no other part.
    """
    parts = [_Joint.of(recipe, part) for recipe, part in made]
    group: list[_Joint] = []
    closed = False
    for place, joint in enumerate(parts):
        before, after = parts[:place], [other for other in parts[place + 1 :] if not other.finishing]
        joint.wait_for_needs([*before, *after])
        if joint.finishing:
            joint.wait_for_pieces(address for piece in group for address in piece.whole)
            for piece in group:
                piece.finished(joint.ends)
        else:
            group = [joint] if closed else [*group, joint]
            joint.listed(fitted for fitted in before if fitted.needed & joint.makes)
        closed = joint.finishing
    return tuple(joint.part for joint in parts)


def after_all(parts: Iterable[Part], steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """The steps of the whole job. The first waits by itself for the last step of every part; if a part ends in
    several steps, that is written out."""
    ends = [(part, _ends(_own_order(part), _ids(part))) for part in parts if part.steps]
    if not steps or all(last == (part.steps[-1].id,) for part, last in ends):
        return steps
    waits_for = tuple(After(step=f"{part.id}/{step}") for part, last in ends for step in last)
    return (steps[0].model_copy(update={"after": waits_for}), *steps[1:])


def waiting_also(part: Part, addresses: Addresses) -> Part:
    """The part, with its first steps waiting for these addresses too."""
    order = _own_order(part)
    steps = [step if order[step.id] else _waiting(step, None, addresses) for step in part.steps]
    return part.model_copy(update={"steps": tuple(steps)})


@dataclass
class _Joint:
    """A part on its way into the job.

    ends:  its last steps; until it is finished, without those that come after that.
    ready: what a step that needs it waits for.
    whole: what a finish for it waits for.
    late:  steps that come after its finish, if there is one.
    """

    part: Part
    makes: frozenset[str]
    needs: Mapping[str, tuple[str, ...]]
    finishing: bool
    ends: Addresses
    ready: Addresses
    whole: Addresses = field(default=())
    late: frozenset[str] = frozenset()

    @classmethod
    def of(cls, recipe: Recipe, made: MadePart) -> _Joint:
        part, order = made.part, _own_order(made.part)
        late = () if recipe.finishing else made.late
        early = _without(order, late)
        making = _without(order, {*made.needs, *late})
        return cls(
            part, frozenset(recipe.makes), made.needs, recipe.finishing,
            _addresses(part, _ends(order, early)), _addresses(part, _ends(order, making)),
            late=frozenset(order) - set(early),
        )  # fmt: skip

    @property
    def needed(self) -> frozenset[str]:
        return frozenset(role for roles in self.needs.values() for role in roles)

    def wait_for_needs(self, others: Sequence[_Joint]) -> None:
        steps = [
            _waiting(step, before, (a for other in others if other.makes & set(roles) for a in other.ready))
            for step, before, roles in self._with_needs()
        ]
        self.part = self.part.model_copy(update={"steps": tuple(steps)})

    def _with_needs(self) -> Iterable[tuple[Step, Step | None, tuple[str, ...]]]:
        for step, before in zip(self.part.steps, (None, *self.part.steps), strict=False):
            yield step, before, self.needs.get(step.id, ())

    def wait_for_pieces(self, addresses: Iterable[str]) -> None:
        """Let the first steps of the finish wait for the pieces."""
        self.part = waiting_also(self.part, tuple(addresses))

    def listed(self, fitted: Iterable[_Joint]) -> None:
        """The part is now in the list, after the parts that are fitted to it."""
        self.ready = self.ready or self.ends
        self.whole = (*self.ends, *(address for other in fitted for address in other.ends))

    def finished(self, ends: Addresses) -> None:
        """A finish for it is listed; one without steps changes nothing."""
        if not ends:
            return
        self.ready = self.whole = ends
        order, steps = _own_order(self.part), list(self.part.steps)
        for place, step in enumerate(steps):
            if step.id in self.late and not self.late & order[step.id].keys():
                steps[place] = _waiting(step, steps[place - 1] if place else None, ends)
        self.part = self.part.model_copy(update={"steps": tuple(steps)})
        self.ends = _addresses(self.part, _ends(order, _ids(self.part)))


def _waiting(step: Step, before: Step | None, addresses: Iterable[str]) -> Step:
    """The step, waiting for these addresses too; its window still counts from its own step before."""
    own = step.after if step.after is not None else (After(step=before.id),) if before else ()
    more = tuple(After(step=address) for address in dict.fromkeys(addresses))
    if not more:
        return step
    if step.within is None or len(own) != 1 or own[0].within is not None:
        return step.model_copy(update={"after": (*own, *more)})
    windowed = own[0].model_copy(update={"within": step.within})
    return step.model_copy(update={"after": (windowed, *more), "within": None})


StepOrder = Mapping[str, Mapping[str, str | None]]
"""By step: what it waits for within its part, and until when (None: until complete)."""


def _own_order(part: Part) -> StepOrder:
    ids = _ids(part)
    order: dict[str, dict[str, str | None]] = {}
    for step, before in zip(part.steps, (None, *part.steps), strict=False):
        after = step.after if step.after is not None else (After(step=before.id),) if before else ()
        order[step.id] = {entry.step: entry.when for entry in after if entry.step in ids}
    return order


def _ids(part: Part) -> tuple[str, ...]:
    return tuple(step.id for step in part.steps)


def _without(order: StepOrder, steps: Collection[str]) -> tuple[str, ...]:
    """The steps of a part but for these and whatever waits for one of them."""
    left_out, found = set(steps), set[str]()
    while left_out != found:
        found = set(left_out)
        left_out |= {step for step, before in order.items() if found & before.keys()}
    return tuple(step for step in order if step not in left_out)


def _ends(order: StepOrder, among: Collection[str]) -> tuple[str, ...]:
    """Those of some steps whose completion none of the others waits for."""
    waited_for = {step for other in among for step, when in order[other].items() if when is None}
    return tuple(step for step in among if step not in waited_for)


def _addresses(part: Part, steps: Iterable[str]) -> Addresses:
    return tuple(f"{part.id}/{step}" for step in steps)
