"""Two hundred jobs of one list on one core and on two; the machine must be quiet."""

import subprocess
import sys
import time
from pathlib import Path

import pytest

from batch_lists import row, write_list
from flangelayout.batch import usable_cores


def drawn_in(path: Path, into: Path, cores: int) -> float:
    """Seconds from the call to its end, start of the program included."""
    command = [sys.executable, "-m", "flangelayout", "draw", str(path), "--into", str(into), "--cores", str(cores)]
    begun = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    return time.perf_counter() - begun


@pytest.mark.skipif(usable_cores() < 2, reason="needs two cores")
def test_two_cores_draw_two_hundred_jobs_at_least_one_point_seven_times_as_fast_as_one(tmp_path: Path) -> None:
    path = write_list(tmp_path / "week.csv", [row(index) for index in range(200)])
    tries = [
        drawn_in(path, tmp_path / f"one{turn}", 1) / drawn_in(path, tmp_path / f"two{turn}", 2) for turn in range(2)
    ]
    assert max(tries) >= 1.7, tries
