"""Several runs that write into one folder at the same time: none loses or disowns a file."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from flangelayout.files import store
from jobs import job_data, toml_text

PROJECT = Path(store.__file__).parents[2]

_TOGETHER = """
import multiprocessing, sys
from pathlib import Path

def work(barrier, one, rounds, done):
    for turn in range(rounds):
        barrier.wait()
        if not one(turn):
            done.put(turn)
    done.put(None)

def together(ones, rounds):
    "Run functions side by side, round by round; the rounds in which one of them said no."
    context = multiprocessing.get_context("fork")
    barrier, done = context.Barrier(len(ones)), context.Queue()
    processes = [context.Process(target=work, args=(barrier, one, rounds, done)) for one in ones]
    for process in processes:
        process.start()
    ended, failed = 0, []
    while ended < len(ones):
        told = done.get(timeout=600)
        ended += told is None
        failed += [] if told is None else [told]
    for process in processes:
        process.join()
    return failed
"""

_STORE = """
from flangelayout.files.records import FileSet
from flangelayout.files.store import FileStore, NotOverwrittenError

def writer(name, folder):
    def write(turn):
        files = {f"{name}_{number}": f"{name} {turn}".encode() for number in range(3)}
        try:
            FileStore(folder).write(files, sets={name: FileSet(str(turn), tuple(files))})
        except NotOverwrittenError as refused:
            print(refused)
            return False
        return True
    return write

folder, rounds = Path(sys.argv[1]), int(sys.argv[2])
names = sys.argv[3].split(",")
assert together([writer(name, folder) for name in names], rounds) == []
last = str(rounds - 1)
assert set(FileStore(folder).unchanged(dict.fromkeys(names, last))) == set(names)
"""

_DRAW = """
from flangelayout.cli import run
import flangelayout.packet.names as names
import flangelayout.cli.draw, flangelayout.cli.drawing.one, ezdxf, svgwrite
import flangelayout.writers.dxf, flangelayout.writers.svg

def drawer(job, folder):
    def draw(turn):
        names.__version__ = f"test {turn}"  # which changes every file, and no job
        return run(["draw", job, "--into", folder, "--only", "cut"]) == 0
    return draw

folder, rounds = sys.argv[1], int(sys.argv[2])
assert together([drawer(job, folder) for job in sys.argv[3].split(",")], 2 * rounds) == []
"""


def check(code: str, *arguments: object) -> None:
    environment = {**os.environ, "PYTHONPATH": str(PROJECT)}
    command = [sys.executable, "-c", _TOGETHER + code, *map(str, arguments)]
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=False, timeout=3000)
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]


pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork")


@pytest.mark.slow
def test_four_writers_of_their_own_sets_and_two_of_one_disown_nothing(tmp_path: Path) -> None:
    check(_STORE, tmp_path, 6, "P1,P2,P3,P4")
    check(_STORE, tmp_path / "same", 6, "P1,P1,P2")


@pytest.mark.property_deep
def test_four_draws_into_one_folder_and_again_disown_nothing_in_200_rounds(tmp_path: Path) -> None:
    paths = []
    for number in range(1, 5):
        path = tmp_path / f"P{number}.toml"
        path.write_text(toml_text(job_data(job={"number": f"P{number}"})), encoding="utf-8")
        paths.append(str(path))
    check(_DRAW, tmp_path / "out", 200, ",".join(paths))
    assert len(list((tmp_path / "out").glob("P*"))) == 8
