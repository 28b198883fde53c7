"""Settings of every test: examples take the time they take, and are the same in every run.

``--hypothesis-profile thorough`` tries many more of them.
"""

import gc
import os

import pytest
from hypothesis import settings

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command line does, before numpy is loaded

settings.register_profile("project", max_examples=10, deadline=None, derandomize=True)
settings.register_profile("thorough", max_examples=200, deadline=None, derandomize=True)
settings.load_profile("project")


def pytest_addoption(parser: pytest.Parser) -> None:
    """How long the fuzzers of ``-m fuzz`` hunt, and where the seeds of long runs begin."""
    parser.addoption("--rounds", type=int, default=1, help="times the usual count of random inputs; 50 is a night")
    parser.addoption("--first", type=int, default=0, help="the number of the first random job, or of the first sheet")
    parser.addoption("--jobs", type=int, default=200, help="how many random jobs are drawn and read back; 20000 in 2 h")


def pytest_collection_finish() -> None:
    """What thousands of collected tests consist of stays to the end: it is not searched for garbage over and over."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(100_000, 50, 100)


@pytest.fixture
def from_seed(pytestconfig: pytest.Config) -> int:
    """Where the seeds of a long run of sheets begin."""
    return int(pytestconfig.getoption("first"))


@pytest.fixture
def rounds(pytestconfig: pytest.Config) -> int:
    """By how much the usual count of random inputs is multiplied."""
    return int(pytestconfig.getoption("rounds"))


@pytest.fixture
def few_tries(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nests are searched for a short while only, where a test does not ask how good they are."""
    for most in ("_MOST_ROUND", "_MOST_OUTLINE"):
        monkeypatch.setattr(f"flangelayout.nest.nest.{most}", 12)
