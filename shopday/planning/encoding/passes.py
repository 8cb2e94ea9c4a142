"""The passes of a shop's steps: what each is called, what it needs, how far it has come."""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple

from shopday.journal.state import Key, PassState, ShopState
from shopday.shop.folder import ShopFolder
from shopday.shop.models import Material, Missed, Shop, Step, Wait
from shopday.shop.step_graph import StepGraph, StepRef, waits_of
from shopday.text.names import pass_label


class Pass(NamedTuple):
    """One pass of one step, with its defaults filled in.

    base:     hands-on minutes, with rework logged before it, and with the extra work of a missed window if the pass
              was started too late.
    within:   minutes: the window of this pass after all it waits for; `missed` is the price of missing it.
    stations: ids without repeats; `dusty`, `noisy` and `room` come from the step, else from its stations.
    expected: the day on which something ordered or sent out is expected, as last logged.
    too_late: the window had closed when the pass was started.
    """

    ref: StepRef
    pass_no: int
    passes: int
    base: int
    within: int | None
    missed: Missed | None
    waits: tuple[Wait, ...]
    material: Material | None
    stations: tuple[str, ...]
    dusty: bool
    noisy: bool
    room: str
    log: PassState | None = None
    expected: dt.date | None = None
    too_late: bool = False

    @property
    def step(self) -> Step:
        return self.ref.step

    @property
    def due_on(self) -> dt.date | None:
        """The day on which a delivery arrives, as last logged, else as written; None for other steps."""
        return None if self.step.arrives is None else self.expected or self.step.arrives.on

    @property
    def label(self) -> str:
        """The step's name, with the number of the pass if there are several."""
        return pass_label(self.step.label, self.pass_no, self.passes)

    @property
    def address(self) -> str:
        return self.ref.address

    @property
    def key(self) -> Key:
        return self.ref.address, self.pass_no

    @property
    def finished(self) -> bool:
        return self.log is not None and self.log.finished is not None

    @property
    def begun(self) -> bool:
        """True if somebody's work on it has a logged start."""
        return self.log is not None and self.log.started is not None and not self.step.absent

    @property
    def unclocked(self) -> bool:
        """True if its end was logged and not its start, so that nobody knows how long it took."""
        return (
            self.finished and not self.skipped and not self.step.absent and self.base > 0 and not self.begun
        )

    @property
    def going(self) -> bool:
        """True if somebody has it in hand, or it is out of the shop."""
        return self.log is not None and self.log.going

    @property
    def put_down(self) -> bool:
        """True if it was begun and then paused."""
        return self.log is not None and self.log.put_down is not None

    @property
    def skipped(self) -> bool:
        return self.log is not None and self.log.skipped

    def keeps(self, wait: Wait) -> tuple[str, ...]:
        """The ids of the stations and gear of this pass that a wait keeps in use."""
        mine = (*self.stations, *self.step.gear)
        return mine if wait.keeps == "all" else tuple(id for id in dict.fromkeys(wait.keeps) if id in mine)


def passes_of(folder: ShopFolder, expansion: StepGraph, state: ShopState) -> tuple[Pass, ...]:
    """Every pass of the live jobs, each after the passes it waits for."""
    live = {id for id, job in folder.jobs.items() if job.status == "live"}
    refs = (expansion.steps[address] for address in expansion.order)
    return tuple(p for ref in refs if ref.job in live for p in _passes(folder, ref, state))


def pass_count(ref: StepRef, state: ShopState) -> int:
    """The number of passes: those written, those added since, and at least those logged."""
    count = ref.step.passes + state.extra_passes.get(ref.address, 0)
    while (ref.address, count + 1) in state.passes:
        count += 1
    return count


def _passes(folder: ShopFolder, ref: StepRef, state: ShopState) -> list[Pass]:
    step, shop = ref.step, folder.shop
    material = folder.materials.get(step.material or "")
    count = pass_count(ref, state)
    own = [station for station in shop.stations if station.id in step.stations]
    waits = () if step.absent else waits_of(step, folder.materials)
    logs = [state.passes.get((ref.address, number)) for number in range(1, count + 1)]
    return [
        Pass(
            ref=ref,
            pass_no=number,
            passes=count,
            base=_base(step, number) + state.reworked.get((ref.address, number), 0),
            within=_within(step, material, number),
            missed=_missed(step, material, number),
            waits=() if log is not None and log.skipped else waits,
            material=material,
            stations=tuple(dict.fromkeys(step.stations)),
            dusty=any(s.dusty for s in own) if step.dusty is None else step.dusty,
            noisy=any(s.noisy for s in own) if step.noisy is None else step.noisy,
            room=step.room or _first_room(step, shop),
            log=log,
            expected=_expected(ref, number, state),
        )
        for number, log in enumerate(logs, 1)
    ]


def _expected(ref: StepRef, number: int, state: ShopState) -> dt.date | None:
    order = state.orders.get((ref.address, number))
    return order.expected if order is not None and ref.step.absent else None


def _base(step: Step, number: int) -> int:
    extra = step.next_pass.extra if step.next_pass is not None and number > 1 else 0
    return 0 if step.absent else step.hands_on + extra


def _within(step: Step, material: Material | None, number: int) -> int | None:
    if number == 1:
        return step.within
    if step.next_pass is not None and step.next_pass.within is not None:
        return step.next_pass.within
    return material.within if material else None


def _missed(step: Step, material: Material | None, number: int) -> Missed | None:
    if number == 1:
        return step.missed
    if step.next_pass is not None and (
        step.next_pass.within is not None or step.next_pass.missed is not None
    ):
        return step.next_pass.missed
    return material.missed if material else None


def _first_room(step: Step, shop: Shop) -> str:
    return next((s.room for s in shop.stations if step.stations and s.id == step.stations[0]), "main")
