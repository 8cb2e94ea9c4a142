"""Draws made by two processes are those of one, and the second one never outlives the first."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from chance_shops import chain, open_shop, steps
from processes import LONGEST, children, is_at_work, until

from shopday.planning.odds import parallel_simulation as two
from shopday.planning.odds.parallel_simulation import simulate_in_parallel
from shopday.planning.odds.simulation import SimulatedCourse, Simulation
from shopday.scheduler import finished
from shopday.worker_process import WorkerProcess, asked

COUNT = 30


@pytest.fixture
def drawing(tmp_path: Path) -> Simulation:
    jobs = {"a": chain((1, 2, 9), (2, 3, 8)) + "another_pass = 0.3\n", "b": chain((1, 5, 6))}
    shop = open_shop(tmp_path, jobs, "08:00-16:00")
    return finished(Simulation.of(shop.folder, shop.state(), shop.plan(0), shop.minute(), {}))


def alone(drawing: Simulation, seed: int = 3) -> list[SimulatedCourse]:
    return [finished(drawing.draw(seed, number)) for number in range(COUNT)]


def test_a_worker_makes_the_very_same_draws(drawing: Simulation) -> None:
    worker = asked(two.__name__, (drawing, 3, range(COUNT - 1, -1, -1)))
    assert worker is not None
    made = dict(worker.come(LONGEST))
    assert worker.over
    assert [made[number] for number in range(COUNT)] == alone(drawing)
    worker.end()


@pytest.mark.parametrize("cores", [1, 2])
def test_draws_come_in_order_from_either_process(
    drawing: Simulation, cores: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(two, "WORKER_PAYS_FROM", -1)
    monkeypatch.setattr(two, "cores", lambda: cores)
    assert list(filter(None, simulate_in_parallel(drawing, 3, COUNT))) == alone(drawing)


def test_one_core_or_short_work_needs_no_worker(drawing: Simulation, monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*_: object) -> None:
        raise AssertionError("a worker was asked")

    monkeypatch.setattr(two, "asked", never)
    assert list(filter(None, simulate_in_parallel(drawing, 3, COUNT))) == alone(drawing)  # short
    monkeypatch.setattr(two, "WORKER_PAYS_FROM", -1)
    monkeypatch.setattr(two, "cores", lambda: 1)
    assert list(filter(None, simulate_in_parallel(drawing, 3, COUNT))) == alone(drawing)
    monkeypatch.setattr(two, "cores", lambda: 2)
    with pytest.raises(AssertionError, match="a worker was asked"):
        list(simulate_in_parallel(drawing, 3, COUNT))


@pytest.mark.parametrize("program", ["/nowhere/python", "/bin/false", "/bin/echo"])
def test_without_a_second_process_all_draws_are_made_here(
    drawing: Simulation, program: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It cannot be started, ends at once, or answers what is no draw."""
    monkeypatch.setattr(two, "WORKER_PAYS_FROM", -1)
    monkeypatch.setattr(two, "cores", lambda: 2)
    monkeypatch.setattr(sys, "executable", program)
    assert list(filter(None, simulate_in_parallel(drawing, 3, COUNT))) == alone(drawing)


def test_a_worker_ends_when_no_more_draws_are_wanted(
    drawing: Simulation, monkeypatch: pytest.MonkeyPatch
) -> None:
    hired: list[WorkerProcess] = []

    def noted(module: str, question: object) -> WorkerProcess:
        hired.append(worker := WorkerProcess(module))
        worker.ask(question)
        return worker

    monkeypatch.setattr(two, "WORKER_PAYS_FROM", -1)
    monkeypatch.setattr(two, "cores", lambda: 2)
    monkeypatch.setattr(two, "asked", noted)
    asked = simulate_in_parallel(drawing, 3, 100_000)
    for _ in range(two.DRAWS_ALONE + 1):
        next(filter(None, asked))
    (worker,) = hired
    assert worker.process.poll() is None
    asked.close()
    assert worker.process.returncode is not None


@pytest.fixture
def heard() -> Iterator[None]:
    """Ctrl-C reaches what is started here, also where the tests run in the background of a shell that bars it."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.slow
@pytest.mark.usefixtures("heard")
@pytest.mark.skipif(two.cores() < 2, reason="with one core there is no second process")
@pytest.mark.parametrize("end", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
@pytest.mark.parametrize("long", [("odds", "--draws", "100000"), ("plan", "--effort", "100")])
def test_a_worker_ends_however_its_command_ends(
    tmp_path: Path, long: tuple[str, ...], end: signal.Signals
) -> None:
    busy = {
        f"job-{n}": steps(
            f'glue {n % 3 + 1}h | waits = [{{ name = "sets", takes = "{9 + n}h" }}]',
            f"plane {n % 4 + 1}h",
            f'oil {n % 5 + 1}h | waits = [{{ name = "dries", takes = "12h" }}]',
            "fit 1h",
        )
        for n in range(8)
    }
    open_shop(tmp_path, busy if "plan" in long else {"a": chain((1, 2, 9), (2, 3, 8))})
    words = ["--shop", str(tmp_path), "--now", "2026-03-02T08:00", *long]
    command = subprocess.Popen(
        [sys.executable, "-m", "shopday", *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
    )
    until(lambda: bool(children(command.pid)))
    (worker,) = children(command.pid)
    command.send_signal(end)
    told, wrong = command.communicate(timeout=LONGEST)
    assert (told, wrong) == (b"", b"")
    assert command.returncode == (130 if end is signal.SIGINT else -end)
    until(lambda: not is_at_work(worker))
