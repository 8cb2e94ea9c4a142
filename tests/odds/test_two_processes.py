"""Draws made by two processes are those of one, and the second one never outlives the first."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from chance_shops import chain, steps, workshop

from shopday.planning.odds import parallel_simulation as two
from shopday.planning.odds.parallel_simulation import SimulationProcess, simulate_in_parallel
from shopday.planning.odds.simulation import SimulatedCourse, Simulation

COUNT = 30
LONGEST = 60
"""Seconds after which what does not happen is a failure."""


@pytest.fixture
def drawing(tmp_path: Path) -> Simulation:
    jobs = {"a": chain((1, 2, 9), (2, 3, 8)) + "another_pass = 0.3\n", "b": chain((1, 5, 6))}
    shop = workshop(tmp_path, jobs, "08:00-16:00")
    return Simulation(shop.folder, shop.state(), shop.plan(0), shop.minute(), {})


def alone(drawing: Simulation, seed: int = 3) -> list[SimulatedCourse]:
    return [drawing.draw(seed, number) for number in range(COUNT)]


def until(happens: Callable[[], bool]) -> None:
    end = time.monotonic() + LONGEST
    while not happens():
        assert time.monotonic() < end, "it does not happen"


def test_a_mate_makes_the_very_same_draws(drawing: Simulation) -> None:
    mate = SimulationProcess(drawing, 3, range(COUNT - 1, -1, -1))
    expected = alone(drawing)
    assert mate.process.wait(LONGEST) == 0
    until(lambda: mate.made(0) is not None)
    assert [mate.made(number) for number in range(COUNT)] == expected
    mate.dismiss()


@pytest.mark.parametrize("cores", [1, 2])
def test_all_draws_come_in_order_whoever_makes_them(
    drawing: Simulation, cores: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(two, "WORTHWHILE", -1)
    monkeypatch.setattr(two, "cores", lambda: cores)
    assert list(simulate_in_parallel(drawing, 3, COUNT)) == alone(drawing)


def test_one_core_and_short_work_want_no_mate(drawing: Simulation, monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*_: object) -> None:
        raise AssertionError("a mate was called")

    monkeypatch.setattr(two, "SimulationProcess", never)
    assert list(simulate_in_parallel(drawing, 3, COUNT)) == alone(drawing)  # short
    monkeypatch.setattr(two, "WORTHWHILE", -1)
    monkeypatch.setattr(two, "cores", lambda: 1)
    assert list(simulate_in_parallel(drawing, 3, COUNT)) == alone(drawing)
    monkeypatch.setattr(two, "cores", lambda: 2)
    with pytest.raises(AssertionError, match="a mate was called"):
        list(simulate_in_parallel(drawing, 3, COUNT))


@pytest.mark.parametrize("program", ["/nowhere/python", "/bin/false", "/bin/echo"])
def test_without_a_second_process_all_draws_are_made_here(
    drawing: Simulation, program: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It cannot be started, ends at once, or answers what is no draw."""
    monkeypatch.setattr(two, "WORTHWHILE", -1)
    monkeypatch.setattr(two, "cores", lambda: 2)
    monkeypatch.setattr(sys, "executable", program)
    assert list(simulate_in_parallel(drawing, 3, COUNT)) == alone(drawing)


def test_a_mate_goes_when_no_more_draws_are_wanted(
    drawing: Simulation, monkeypatch: pytest.MonkeyPatch
) -> None:
    hired: list[SimulationProcess] = []

    class Noted(SimulationProcess):
        def __init__(self, drawing: Simulation, seed: int, numbers: range) -> None:
            super().__init__(drawing, seed, numbers)
            hired.append(self)

    monkeypatch.setattr(two, "WORTHWHILE", -1)
    monkeypatch.setattr(two, "cores", lambda: 2)
    monkeypatch.setattr(two, "SimulationProcess", Noted)
    asked = simulate_in_parallel(drawing, 3, 100_000)
    for _ in range(two.ALONE + 1):
        next(asked)
    (mate,) = hired
    assert mate.process.poll() is None
    asked.close()
    assert mate.process.poll() is not None


def children(parent: int) -> list[int]:
    """Processes of a parent that are still at work."""
    listed = subprocess.run(
        ["ps", "-A", "-o", "pid=,ppid=,stat="], capture_output=True, text=True, check=True
    )
    rows = (line.split() for line in listed.stdout.splitlines())
    return [int(pid) for pid, above, state, *_ in rows if int(above) == parent and not state.startswith("Z")]


def is_at_work(pid: int) -> bool:
    found = subprocess.run(["ps", "-o", "stat=", "-p", str(pid)], capture_output=True, text=True, check=False)
    return found.stdout.strip() != "" and not found.stdout.startswith("Z")


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
def test_however_the_command_ends_its_mate_ends_too(
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
    workshop(tmp_path, busy if "plan" in long else {"a": chain((1, 2, 9), (2, 3, 8))})
    words = ["--shop", str(tmp_path), "--now", "2026-03-02T08:00", *long]
    command = subprocess.Popen(
        [sys.executable, "-m", "shopday", *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
    )
    until(lambda: bool(children(command.pid)))
    (mate,) = children(command.pid)
    command.send_signal(end)
    told, wrong = command.communicate(timeout=LONGEST)
    assert (told, wrong) == (b"", b"")
    assert command.returncode == (130 if end is signal.SIGINT else -end)
    until(lambda: not is_at_work(mate))
