"""A worker answers, drops a question for a newer one, never outlives whoever asks, and its end is noticed."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from itertools import chain
from pathlib import Path

import pytest
from echo_worker import BULK, HEARTBEATS
from processes import LONGEST, children, is_at_work, until

from shopday.worker_process import OVER, WorkerProcess, asked

pytestmark = pytest.mark.slow


@pytest.fixture
def worker() -> Iterator[WorkerProcess]:
    started = WorkerProcess("echo_worker")
    yield started
    started.end()


def test_answers_come_in_order_and_then_end(worker: WorkerProcess) -> None:
    for items in (["one", None, "two"], [], ["three"]):
        worker.ask((items, ""))
        assert [worker.receive() for _ in [*filter(None, items), OVER]] == [*filter(None, items), OVER]
        assert worker.over


def test_a_newer_question_closes_the_one_at_work(worker: WorkerProcess, tmp_path: Path) -> None:
    left = tmp_path / "left"
    worker.ask((chain(["at work"], HEARTBEATS), str(left)))
    assert worker.receive() == "at work"
    worker.ask((["newer"], ""))
    assert list(worker.come(LONGEST)) == ["newer"]
    assert left.exists()


def test_after_the_first_answer_the_worker_is_nicer(worker: WorkerProcess) -> None:
    worker.ask((["one", *[None] * 3, "two"], ""))
    assert [worker.receive(), worker.receive()] == ["one", "two"]
    assert os.getpriority(os.PRIO_PROCESS, worker.process.pid) >= 1


def test_a_worker_killed_between_answers_is_lost(worker: WorkerProcess) -> None:
    worker.ask((HEARTBEATS, ""))
    worker.process.kill()
    with pytest.raises(EOFError):
        worker.receive()
    assert worker.lost
    assert list(worker.come()) == []


def test_a_worker_killed_within_an_answer_is_lost(worker: WorkerProcess) -> None:
    worker.ask((["one", BULK], ""))
    assert worker.receive() == "one"
    assert worker._link.poll(LONGEST)
    worker.process.kill()
    with pytest.raises(EOFError):
        worker.receive()


@pytest.mark.parametrize("program", ["/nowhere/python", "/bin/false", "/bin/echo"])
def test_a_program_that_is_no_worker_counts_as_lost(program: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "executable", program)
    worker = asked("echo_worker", (HEARTBEATS, ""))
    if worker is not None:
        with pytest.raises(EOFError):
            worker.receive()
        worker.end()


ASKER = """
import sys
from echo_worker import BULK, HEARTBEATS
from shopday.worker_process import WorkerProcess
idle, busy, full = (WorkerProcess("echo_worker") for _ in range(3))
busy.ask((HEARTBEATS, ""))
full.ask((["one", BULK], ""))
full.receive()
print(*(worker.process.pid for worker in (idle, busy, full)), flush=True)
sys.stdin.read()
"""


def python(*command: str, **options: int) -> subprocess.Popen[str]:
    path = os.pathsep.join(filter(None, sys.path))
    return subprocess.Popen(command, env={**os.environ, "PYTHONPATH": path}, text=True, **options)


@pytest.mark.parametrize("end", [signal.SIGKILL, signal.SIGTERM])
def test_workers_end_when_their_parent_is_killed(end: signal.Signals) -> None:
    """One that waits for a question, one at work, and one whose answer nobody reads."""
    asker = python(sys.executable, "-c", ASKER, stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    assert asker.stdout is not None
    workers = list(map(int, asker.stdout.readline().split()))
    assert len(workers) == 3
    assert all(map(is_at_work, workers))
    asker.send_signal(end)
    asker.communicate()
    until(lambda: not any(map(is_at_work, workers)))


CLOSED = """
import sys
from shopday.worker_process import WorkerProcess
worker = WorkerProcess("echo_worker")
worker.ask((["answered"], ""))
with open(sys.argv[1], "w") as file:
    file.write(worker.receive())
worker.end()
"""


@pytest.mark.parametrize("closed", ["<&- >&- 2>&-", "<&-", ">&-", "2>&-", "<&- 2>&-"])
def test_standard_streams_may_be_closed(closed: str, tmp_path: Path) -> None:
    told = tmp_path / "told"
    call = f'exec "$0" -c "$1" "$2" {closed}'
    assert python("sh", "-c", call, sys.executable, CLOSED, str(told)).wait(LONGEST) == 0
    assert told.read_text() == "answered"


def test_no_zombie_worker_is_left_over() -> None:
    before, files = children(ended=True), len(os.listdir("/dev/fd"))
    for n in range(50):
        worker = asked("echo_worker", (HEARTBEATS, ""))
        assert worker is not None
        if n % 2:
            worker.process.kill()
        worker.end()
        assert worker.process.returncode == -signal.SIGKILL
        del worker
    assert children(ended=True) == before
    assert len(os.listdir("/dev/fd")) == files
