"""Several programs and a person change one folder at once."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from crowd import crowd

pytestmark = pytest.mark.slow


@pytest.mark.skipif(sys.platform == "win32", reason="forks and locks as POSIX does")
def test_concurrent_programs_and_a_person_lose_nothing(tmp_path: Path) -> None:
    crowd(tmp_path, rounds=10)
