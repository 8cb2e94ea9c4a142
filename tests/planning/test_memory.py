"""The order of the last long plan is where the next quick one starts."""

from pathlib import Path

import pytest

from shopday.planning import memory


def test_what_was_remembered_is_recalled(tmp_path: Path) -> None:
    memory.remember(tmp_path, [("desk/top/glue", 1), ("desk/deliver", 1)])
    assert memory.recall(tmp_path) == (("desk/top/glue", 1), ("desk/deliver", 1))


def test_each_folder_has_its_own(tmp_path: Path) -> None:
    memory.remember(tmp_path / "one", [("desk/deliver", 1)])
    assert memory.recall(tmp_path / "other") == ()


@pytest.mark.parametrize("spoiled", ["", "[[1]]", "{", "7", '[["a", "b"]]'])
def test_a_spoiled_cache_is_no_cache(tmp_path: Path, spoiled: str) -> None:
    memory.remember(tmp_path, [("desk/deliver", 1)])
    memory._place(tmp_path).write_text(spoiled)
    assert memory.recall(tmp_path) == ()


def test_a_cache_that_cannot_be_written_is_done_without(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    memory.remember(tmp_path, [("desk/deliver", 1)])
    assert memory.recall(tmp_path) == ()
