"""Asks a worker process for plans, so that the screen never waits; better and better answers come back.

The process is started before the app takes the terminal. Threads of the app send its questions and receive its
answers. A newer question makes it drop the one it is working on. If it dies, it is started again.
"""

from __future__ import annotations

import datetime as dt
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Event, Thread

from shopday.app.protocol import FIRST, Deliver, PlannerAnswer, PlannerQuestion
from shopday.worker_process import OVER, WorkerProcess


class ProcessPlanner:
    """The app's side of the process."""

    def __init__(self, folder: Path, now: dt.datetime | None) -> None:
        self._arguments = str(folder), "" if now is None else now.isoformat()
        self._deliver: Deliver | None = None
        self._listened_to = Event()
        self.worker: WorkerProcess | None = None
        self._start()
        self.ask(FIRST)

    def _start(self) -> None:
        self.worker = WorkerProcess("shopday.app.planner_worker", *self._arguments)
        self._sender = ThreadPoolExecutor(1)  # so that the screen does not wait until a question is read
        Thread(target=self._read, args=(self.worker,), daemon=True).start()

    def _read(self, worker: WorkerProcess) -> None:
        while not worker.lost:
            answer: PlannerAnswer | None
            try:
                answer = worker.receive()
            except EOFError:
                answer = None
            self._listened_to.wait()
            if worker is not self.worker or self._deliver is None:
                return  # it was closed
            if worker.lost or answer is not OVER:
                self._deliver(answer)

    def listen(self, deliver: Deliver) -> None:
        self._deliver = deliver
        self._listened_to.set()

    def ask(self, ask: PlannerQuestion) -> None:
        """Send a question. If the process has died, the reading thread notices."""
        if self.worker is not None:
            self._sender.submit(self.worker.ask, ask)

    def start_again(self) -> None:
        self.close()
        self._start()

    def close(self) -> None:
        worker, self.worker = self.worker, None
        if worker is not None:
            worker.end()
            self._sender.shutdown(cancel_futures=True)
