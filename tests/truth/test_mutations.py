"""Every fault of ``mutations.py`` fells a test that says what is wrong: an assertion on the figure, line or word."""

import compileall
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

import flangelayout
from truth.mutations import MUTATIONS, Mutation

ROOT = Path(flangelayout.__file__).parents[1]
BESIDE = ("templates", "samples", "tests", "README.md", "DEVELOPERS.md", "pyproject.toml")
ASSERTED = re.compile(r"^E\s+(assert|AssertionError|Failed: DID NOT RAISE)", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Copy:
    """A copy of the package that may be spoiled."""

    folder: Path

    def run(self, tests: tuple[str, ...]) -> "subprocess.CompletedProcess[str]":
        """The named tests, slow ones too, run with this copy as the package."""
        chosen = [str(ROOT / "tests" / name) for name in tests]
        options = [
            "-q",
            "-m",
            "not property_deep and not visual and not fuzz",
            "--maxfail=6",
            "-n",
            "0",
            "--tb=short",
            "--rootdir",
            str(ROOT),
            "-c",
            str(ROOT / "pyproject.toml"),
        ]
        environment = {**os.environ, "PYTHONPATH": str(self.folder), "PYTHONDONTWRITEBYTECODE": "1"}
        return subprocess.run(
            [sys.executable, "-m", "pytest", *options, *chosen],
            cwd=self.folder,
            env=environment,
            capture_output=True,
            text=True,
            timeout=300,
            check=False,
        )


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Copy]:
    """The package beside links to what it reads."""
    folder = tmp_path_factory.mktemp("mutated")
    shutil.copytree(ROOT / "flangelayout", folder / "flangelayout", ignore=shutil.ignore_patterns("__pycache__"))
    for name in BESIDE:
        (folder / name).symlink_to(ROOT / name)
    compileall.compile_dir(folder / "flangelayout", quiet=1)
    yield Copy(folder)
    shutil.rmtree(folder)


def test_there_are_sixty_faults_and_each_has_its_own_place() -> None:
    assert len(MUTATIONS) >= 60
    assert len({(each.module, each.old, each.new) for each in MUTATIONS}) == len(MUTATIONS)
    assert not [name for each in MUTATIONS for name in each.tests if "samples" in name]


def test_every_fault_names_a_place_and_tests_that_are_there() -> None:
    for each in MUTATIONS:
        code = (ROOT / "flangelayout" / each.module).read_text(encoding="utf-8")
        assert code.count(each.old) == 1, f"{each.module} has {each.old!r} {code.count(each.old)} times"
        for file, _, test in (name.partition("::") for name in each.tests):
            assert f"def {test}" in (ROOT / "tests" / file).read_text(encoding="utf-8"), f"{each.fault}: {file} {test}"


@pytest.mark.property_deep
def test_the_tests_pass_on_a_copy_without_a_fault(copy: Copy) -> None:
    ran = copy.run(tuple(dict.fromkeys(name for each in MUTATIONS for name in each.tests)))
    assert ran.returncode == 0, ran.stdout[-3000:]


@pytest.mark.property_deep
@pytest.mark.parametrize("mutation", MUTATIONS, ids=lambda each: each.fault)
def test_a_fault_fells_a_test_that_says_what_is_wrong(mutation: Mutation, copy: Copy) -> None:
    path = copy.folder / "flangelayout" / mutation.module
    right, stamp = path.read_text(encoding="utf-8"), path.stat()
    path.write_text(right.replace(mutation.old, mutation.new), encoding="utf-8")
    try:
        ran = copy.run(mutation.tests)
    finally:
        path.write_text(right, encoding="utf-8")
        os.utime(path, ns=(stamp.st_atime_ns, stamp.st_mtime_ns))
    assert ran.returncode == 1, f"no test falls:\n{ran.stdout[-1500:]}{ran.stderr[-1500:]}"
    assert ASSERTED.search(ran.stdout), ran.stdout[-3000:]
