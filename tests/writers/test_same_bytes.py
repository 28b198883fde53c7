import json
import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from flangelayout.writers import pdf
from writers.every_format import digests

TESTS = Path(__file__).parents[1]
PROGRAM = "import json; from writers.every_format import digests; print(json.dumps(digests()))"


def digests_of_a_new_process(**surroundings: str) -> dict[str, str]:
    places = os.pathsep.join(str(path) for path in (TESTS, Path(pdf.__file__).parents[2]))
    environment = {**os.environ, "PYTHONPATH": places, **surroundings}
    command = [sys.executable, "-c", PROGRAM]
    run = subprocess.run(command, env=environment, capture_output=True, text=True, check=True, timeout=60)
    answer: dict[str, str] = json.loads(run.stdout)
    return answer


@pytest.fixture(scope="module")
def here() -> dict[str, str]:
    return digests()


@pytest.mark.slow
@pytest.mark.parametrize("seed", ["1", "2", "3", "4"])
def test_two_processes_write_the_same_bytes(here: dict[str, str], seed: str) -> None:
    assert digests_of_a_new_process(PYTHONHASHSEED=seed, TZ="Pacific/Auckland") == here
    assert len(here) == 15


def test_the_second_time_in_one_process_is_the_same_as_the_first(here: dict[str, str]) -> None:
    assert digests() == here


@pytest.mark.slow
def test_threads_do_not_disturb_each_other(here: dict[str, str]) -> None:
    with ThreadPoolExecutor(2) as pool:
        assert all(answer == here for answer in pool.map(lambda _: digests(), range(2)))
