"""Power cuts, as a model: what a journal's writes leave on a disk that lost what was not synced.

By hand: python tests/bench/power_cut.py 300

A program logs while every write, sync and rename of its folder is recorded (`write_recorder.c`, by gcc, Linux). Then the
power is cut between any two of them: of what no sync had made durable each piece of a sector is there or not, by chance,
and names changed since the folder was synced stand as they were after some of the changes. Every fact that was said to
be logged must be there.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from shopday.journal.facts import Fact  # noqa: E402
from shopday.journal.journal import Journal  # noqa: E402

SECTOR = 512
FACTS = 40
ACKNOWLEDGED = "acknowledged"

PROGRAM = """
import sys
from pathlib import Path
from shopday.journal.journal import Journal
folder, number = Path(sys.argv[1]), int(sys.argv[2])
journal, said = Journal(folder / "journal.db"), open(folder / "acknowledged", "w", buffering=1)
for n in range(number):
    journal.clock = lambda: 86400 * (20000 + n // 6)
    fact = journal.append("start", "table/top/glue", 1, 7, why="x" * (n * 397 % 3000))
    print(fact.id, file=said)
    if n % 5 == 4:
        journal.undo()
        print(fact.id + 1, file=said)
"""


class Change(NamedTuple):
    kind: str
    a: int
    b: int
    data: bytes


@dataclass
class File:
    """durable: what a sync made sure of; pending: writes (where, what) and cuts (size, None) since."""

    durable: bytes = b""
    pending: list[tuple[int, bytes | None]] = field(default_factory=list)

    def synced(self) -> None:
        for at, data in self.pending:
            self.durable = _changed(self.durable, at, data)
        self.pending = []

    def after_cut(self, chance: random.Random) -> bytes:
        content = self.durable
        for at, data in self.pending:
            for start, piece in _sectors(at, data):
                if chance.random() < 0.5:
                    content = _changed(content, start, piece)
        return content


def _changed(content: bytes, at: int, data: bytes | None) -> bytes:
    if data is None:
        return content[:at].ljust(at, b"\0")
    return content[:at].ljust(at, b"\0") + data + content[at + len(data) :]


def _sectors(at: int, data: bytes | None) -> Iterator[tuple[int, bytes | None]]:
    if data is None:
        yield at, None
        return
    start = at
    while start < at + len(data):
        end = min(start - start % SECTOR + SECTOR, at + len(data))
        yield start, data[start - at : end - at]
        start = end


class Disk:
    """names: where each file is; durable: where it would be after a cut, but for `pending` changes of names."""

    def __init__(self) -> None:
        self.names: dict[str, File] = {}
        self.durable: dict[str, File] = {}
        self.pending: list[tuple[str, File | None]] = []
        self._by_inode: dict[int, File] = {}

    def apply(self, change: Change) -> None:
        text = os.fsdecode(change.data) if change.kind in "CRLU" else ""
        file = self._by_inode.get(change.a)
        match change.kind:
            case "C":
                self._by_inode[change.a] = File()
                self._name(text, self._by_inode[change.a])
            case "W" | "T" if file:
                file.pending.append((change.b, change.data if change.kind == "W" else None))
            case "S" if change.b:
                self._names_are_durable(len(self.pending))
            case "S" if file:
                file.synced()
            case "U":
                self._name(text, None)
            case "R" | "L":
                old, new = text.split("\0")
                self._name(new, self.names[old])
                if change.kind == "R":
                    self._name(old, None)

    def _name(self, path: str, file: File | None) -> None:
        self.pending.append((path, file))
        _put(self.names, path, file)

    def _names_are_durable(self, number: int) -> None:
        for path, file in self.pending[:number]:
            _put(self.durable, path, file)
        del self.pending[:number]

    def after_cut(self, folder: Path, below: str, chance: random.Random) -> None:
        """Write what is there when the power comes back."""
        names = dict(self.durable)
        for path, file in self.pending[: chance.randint(0, len(self.pending))]:
            _put(names, path, file)
        for path, file in names.items():
            target = folder / Path(path).relative_to(below)
            target.parent.mkdir(exist_ok=True)
            target.write_bytes(file.after_cut(chance))


def _put(names: dict[str, File], path: str, file: File | None) -> None:
    names.pop(path, None)
    if file is not None:
        names[path] = file


def recorded(room: Path, facts: int = FACTS) -> tuple[list[Change], list[Fact], str]:
    """What a program that logged changed on the disk, what it logged, and its folder."""
    folder, record, library = room / "shop", room / "record", room / "write_recorder.so"
    folder.mkdir()
    source = Path(__file__).with_name("write_recorder.c")
    subprocess.run(["gcc", "-shared", "-fPIC", "-O1", "-o", library, source, "-ldl"], check=True)
    settings = {"LD_PRELOAD": str(library), "RECORD_BELOW": str(folder.resolve()), "RECORD_TO": str(record)}
    subprocess.run(
        [sys.executable, "-c", PROGRAM, folder, str(facts)],
        env=os.environ | settings | {"PYTHONPATH": str(ROOT)},
        check=True,
    )
    return list(_changes(record.read_bytes())), Journal(folder / "journal.db").check(), str(folder.resolve())


def _changes(record: bytes) -> Iterator[Change]:
    at = 0
    while at < len(record):
        end = record.index(b"\n", at)
        kind, a, b, length = record[at:end].split()
        at = end + 1 + int(length)
        yield Change(kind.decode(), int(a), int(b), record[end + 1 : at])


def judged(changes: list[Change], logged: list[Fact], below: str, cut: int, chance: random.Random) -> str:
    """How it went when the power was cut after so many changes. Fails where anything acknowledged is gone."""
    disk = Disk()
    for change in changes[:cut]:
        disk.apply(change)
    said = disk.names.pop(f"{below}/{ACKNOWLEDGED}", File())
    said.synced()
    safe = int((said.durable.split() or [b"0"])[-1])
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        disk.after_cut(folder, below, chance)
        undone = (folder / "journal.db-journal").exists()
        found = Journal(folder / "journal.db").all_facts()
        assert found == logged[: len(found)], "other facts than were logged"
        assert safe <= len(found), f"{safe} were acknowledged, {len(found)} are there"
        assert Journal(folder / "journal.db").check() == found
        Journal(folder / "journal.db").append("finish", "table/top/glue", 1, 8)
    return "rolled back" if undone else "as it was"


def cuts(times: int, seed: int) -> Counter[str]:
    """Cut the power at so many random points."""
    chance = random.Random(seed)
    with tempfile.TemporaryDirectory() as room:
        changes, logged, below = recorded(Path(room))
        return Counter(
            judged(changes, logged, below, chance.randint(1, len(changes)), chance) for _ in range(times)
        )


if __name__ == "__main__":
    times = int(sys.argv[1])
    print(f"{times} power cuts, nothing acknowledged lost: {dict(cuts(times, seed=times))}")
