"""``flangelayout exercise`` from the outside."""

from pathlib import Path

import pytest

from flangelayout.cli import run


@pytest.mark.slow
def test_it_writes_sheet_and_key_and_the_same_again(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    arguments = ["exercise", "--seed", "7", "--count", "4", "--level", "2", "--into", str(tmp_path)]
    assert run(arguments) == 0
    assert sorted(path.name for path in tmp_path.glob("*.pdf")) == [
        "exercise_seed-7_level-2_4_A4.pdf",
        "exercise_seed-7_level-2_4_A4_key.pdf",
    ]
    assert run(arguments) == 0
    assert capsys.readouterr().out.count("unchanged") == 2


def test_a_level_that_is_not_there_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["exercise", "--level", "9"]) == 2
    assert "1<=x<=3" in capsys.readouterr().err
