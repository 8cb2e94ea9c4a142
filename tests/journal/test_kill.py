"""Programs killed while they log, and several logging at once."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from shopday.journal.journal import Journal

sys.path.insert(0, str(Path(__file__).parent))

from kill import ROOT, survive

pytestmark = pytest.mark.slow

MANY = """
import sys
from pathlib import Path
from shopday.journal.journal import Journal
journal = Journal(Path(sys.argv[1]), patience=60)
for i in range(30):
    journal.append("start", sys.argv[2], i, i)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="forks and kills as POSIX does")
def test_acknowledged_facts_survive_kills(tmp_path: Path) -> None:
    found = survive(tmp_path, times=24, seed=7)
    assert {name: found[name] for name in ("log", "edit", "restore", "migrate")} == dict.fromkeys(
        ("log", "edit", "restore", "migrate"), 6
    )
    assert found["facts"] >= 12
    assert found["edits"] >= 6


def test_programs_logging_at_once_lose_nothing(tmp_path: Path) -> None:
    path = tmp_path / "journal.db"
    names = ("app", "shell", "third")
    running = [subprocess.Popen([sys.executable, "-c", MANY, str(path), name], cwd=ROOT) for name in names]
    assert [child.wait(120) for child in running] == [0, 0, 0]
    facts = Journal(path).check()
    assert [fact.id for fact in facts] == list(range(1, 91))
    for name in names:
        assert [fact.pass_no for fact in facts if fact.address == name] == list(range(30))
