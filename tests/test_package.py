"""The package as it is installed: what it carries, what it loads, and the rules its code keeps."""

import ast
import json
import os
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from fnmatch import fnmatch
from importlib.util import find_spec
from pathlib import Path

import pytest

import flangelayout
from jobs import job_data, toml_text

PROJECT = Path(flangelayout.__file__).parents[1]
PACKAGE = PROJECT / "flangelayout"
SOURCES = sorted([*PACKAGE.rglob("*.py"), *(PROJECT / "tests").rglob("*.py")])
MOST_LINES_OF_A_FILE, MOST_LINES_OF_A_FUNCTION, MOST_MODULES = 500, 45, 16

# What a start must not wait for: each takes longer to load than the rest of the program together.
HEAVY = ("numpy", "scipy", "ezdxf", "reportlab", "svgwrite", "pydantic", "rich", "starlette", "uvicorn", "jinja2")
SEEING = ("PIL", "zxingcpp", "flangelayout.vision", "flangelayout.packet.photo")


def python(*arguments: str, place: Path = PROJECT, folder: Path = PROJECT) -> str:
    """Standard output of a process of its own that finds the package in ``place``."""
    environment = {**os.environ, "PYTHONPATH": str(place)}
    command = [sys.executable, *arguments]
    done = subprocess.run(
        command, env=environment, cwd=folder, capture_output=True, text=True, check=False, timeout=120
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def loaded_by(statement: str) -> set[str]:
    """The heavy libraries that a statement loads."""
    program = f"import json, sys\n{statement}\nprint(json.dumps([m for m in {HEAVY!r} if m in sys.modules]))"
    return set(json.loads(python("-c", program).splitlines()[-1]))


def test_small_commands_load_no_library_but_click() -> None:
    asked = (["--version"], ["--help"], ["new"])
    assert loaded_by(f"from flangelayout.cli import run\nfor each in {asked!r}: run(each)") == set()


def test_the_package_itself_loads_nothing() -> None:
    assert loaded_by("import flangelayout") == set()


@pytest.mark.slow
@pytest.mark.parametrize("arguments", [["measure", "--holes", "8", "--chord", "91.8"], ["standards", "PN16 DN150"]])
def test_numbers_alone_load_nothing_that_sees(arguments: list[str]) -> None:
    program = (
        f"import sys\nfrom flangelayout.cli import run\nrun({arguments!r})\nprint(set({SEEING!r}) & set(sys.modules))"
    )
    assert python("-c", program).splitlines()[-1] == "set()"


@pytest.mark.slow
def test_a_cut_file_does_not_load_the_writer_of_pages(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text(toml_text(job_data()))
    found = loaded_by(f"from flangelayout.cli import run; run(['draw', {str(job)!r}, '--only', 'holes'])")
    assert not found & {"ezdxf", "reportlab", "svgwrite"}
    found = loaded_by(f"from flangelayout.cli import run; run(['draw', {str(job)!r}, '--only', 'cut'])")
    assert {"ezdxf", "svgwrite"} <= found
    assert "reportlab" not in found


@pytest.mark.slow
def test_files_and_functions_stay_short() -> None:
    texts = {path.relative_to(PROJECT): path.read_text(encoding="utf-8") for path in SOURCES}
    assert not [
        f"{path}: {text.count(chr(10))} lines"
        for path, text in texts.items()
        if text.count("\n") > MOST_LINES_OF_A_FILE
    ]
    assert not [
        f"{path}: {name}: {length} lines"
        for path, text in texts.items()
        for name, length in _functions(text)
        if length > MOST_LINES_OF_A_FUNCTION
    ]


@pytest.mark.slow
def test_no_class_name_stands_twice_in_the_package() -> None:
    homes: dict[str, list[str]] = {}
    for path in SOURCES:
        if path.is_relative_to(PACKAGE):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.ClassDef):
                    homes.setdefault(node.name, []).append(str(path.relative_to(PACKAGE)))
    assert len(homes) > 400
    assert not {name: places for name, places in homes.items() if len(places) > 1}


GROUND = ("facts.py", "units.py")
"""Modules under every room; a room's own facts or units are told apart by the room."""


def test_no_module_has_the_name_of_one_in_a_folder_above_it() -> None:
    modules = [path.relative_to(PACKAGE) for path in SOURCES if path.is_relative_to(PACKAGE)]
    names = {path for path in modules if path.name != "__init__.py" and str(path) not in GROUND}
    assert len(names) > 200
    assert not [path for path in names if {folder / path.name for folder in path.parents[1:]} & names]


def test_no_folder_of_the_package_holds_more_than_sixteen_modules() -> None:
    folders = {path.parent for path in SOURCES if path.is_relative_to(PACKAGE)}
    counts = {folder: len([path for path in folder.glob("*.py") if path.name != "__init__.py"]) for folder in folders}
    assert not [f"{folder.relative_to(PROJECT)}: {count}" for folder, count in counts.items() if count > MOST_MODULES]


def _functions(text: str) -> Iterator[tuple[str, int]]:
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node.name, (node.end_lineno or node.lineno) - node.lineno + 1


def test_pytest_passes_by_no_folder_of_tests(pytestconfig: pytest.Config) -> None:
    folders = {file.parent.name for file in Path(__file__).parent.rglob("test_*.py")}
    skipped = pytestconfig.getini("norecursedirs")
    assert [name for name in folders if any(fnmatch(name, pattern) for pattern in skipped)] == []


@pytest.mark.slow
def test_imports_keep_to_the_contracts() -> None:
    command = "from importlinter.cli import lint_imports; raise SystemExit(lint_imports(no_cache=True))"
    assert "0 broken" in python("-c", command)


@pytest.fixture(scope="module")
def unpacked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A wheel of the project, unpacked as an installer would; nothing is fetched."""
    if not (find_spec("hatchling") and find_spec("build")):
        pytest.skip("hatchling and build are not installed (pip install .[test])")
    folder = tmp_path_factory.mktemp("wheel")
    python("-m", "build", "--wheel", "--no-isolation", "--outdir", str(folder), str(PROJECT), folder=folder)
    (wheel,) = folder.glob("*.whl")
    place = folder / "site"
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(place)
    return place


@pytest.mark.slow
def test_the_wheel_carries_everything_the_package_reads(unpacked: Path) -> None:
    carried = {str(path.relative_to(unpacked)) for path in unpacked.rglob("*")}
    data = {str(path.relative_to(PROJECT)) for path in PACKAGE.rglob("*") if _is_data(path)}
    starters = {f"flangelayout/{path.relative_to(PROJECT)}" for path in (PROJECT / "templates").rglob("*.toml")}
    assert len(starters) >= 3
    assert any(name.endswith(".ttf") for name in data)
    assert sum(name.endswith(".csv") for name in data) > 15
    samples = {f"flangelayout/samples/{path.name}" for path in (PROJECT / "samples").glob("*.toml")}
    assert not (data | starters | samples) - carried
    assert not [name for name in carried if name.startswith(("tests", "samples"))]


def _is_data(path: Path) -> bool:
    return path.is_file() and path.suffix != ".pyc"


@pytest.mark.slow
def test_the_unpacked_wheel_works_in_another_folder(unpacked: Path, tmp_path: Path) -> None:
    run = ("-m", "flangelayout")
    assert "ring-flange" in python(*run, "new", place=unpacked, folder=tmp_path)
    python(*run, "new", "ring-flange", "R-1.toml", place=unpacked, folder=tmp_path)
    drawn = python(*run, "draw", "R-1.toml", "--json", place=unpacked, folder=tmp_path)
    assert len(json.loads(drawn)["files"]) >= 7
    assert all((tmp_path / each["path"]).stat().st_size == each["bytes"] for each in json.loads(drawn)["files"])
    place = python("-c", "import flangelayout; print(flangelayout.__file__)", place=unpacked, folder=tmp_path)
    assert Path(place.strip()).is_relative_to(unpacked)


_CONSUMER = """
from flangelayout import (
    BoltCircle, Flange, FlangeLayoutError, Job, Kind, Part, Reading, RoundOutline, Survey, Unit,
    build_packet, draw_flange, find, job_of_flange, load_job, measure,
)

circle = BoltCircle(diameter=240, hole_count=8, hole_diameter=22)
plate = Flange(RoundOutline(285), (circle,), bore=170, thickness=22)
files: dict[str, bytes] = draw_flange(plate, number="H-114", unit=Unit.IN, parts=[Part.CUT])
job: Job = job_of_flange(plate, "H-114")
packet: dict[str, bytes] = build_packet(job)
survey: Survey = measure([Reading(Kind.CENTERS, 91.8, pitches=1)], hole_count=8)
diameter: float | None = find("EN 1092-1 PN16 DN150").bolt_circle
try:
    load_job("none.toml")
except FlangeLayoutError as wrong:
    print(wrong.lines())
"""


@pytest.mark.slow
def test_a_project_that_uses_the_wheel_passes_a_strict_type_check(unpacked: Path, tmp_path: Path) -> None:
    (tmp_path / "consumer.py").write_text(_CONSUMER, encoding="utf-8")
    (tmp_path / "wrong.py").write_text("from flangelayout import BoltCircle\nBoltCircle(diameter='240')\n")
    python("-m", "venv", "--without-pip", str(tmp_path / "venv"), folder=tmp_path)
    (packages,) = (tmp_path / "venv").rglob("site-packages")
    theirs = [path for path in sys.path if path.endswith("site-packages")]
    (packages / "installed.pth").write_text("\n".join([str(unpacked), *theirs]), encoding="utf-8")
    installed = str(packages.parents[2] / "bin" / "python")
    environment = {**os.environ, "PYTHONPATH": "", "MYPYPATH": ""}
    for name, passes in (("consumer", True), ("wrong", False)):
        command = [sys.executable, "-m", "mypy", "--strict", "--python-executable", installed, f"{name}.py"]
        done = subprocess.run(command, cwd=tmp_path, env=environment, capture_output=True, text=True, check=False)
        assert (done.returncode == 0) is passes, done.stdout
        assert "import-untyped" not in done.stdout


def test_every_public_name_is_there_and_is_listed() -> None:
    assert set(flangelayout.__all__) <= set(dir(flangelayout))
    assert len(set(flangelayout.__all__)) == len(flangelayout.__all__) > 40
    values = {name: getattr(flangelayout, name) for name in flangelayout.__all__}
    named = {name for name, value in values.items() if getattr(value, "__name__", name) == name}
    assert named == set(values)


@pytest.mark.slow
def test_the_wheel_says_that_it_is_typed(unpacked: Path) -> None:
    assert (unpacked / "flangelayout" / "py.typed").exists()
    (info,) = unpacked.glob("flangelayout-*.dist-info")
    assert "Classifier: Typing :: Typed" in (info / "METADATA").read_text(encoding="utf-8")


@pytest.mark.slow
def test_the_wheel_names_its_command_and_its_license(unpacked: Path) -> None:
    (info,) = unpacked.glob("flangelayout-*.dist-info")
    assert "flangelayout = flangelayout.cli:main" in (info / "entry_points.txt").read_text()
    metadata = (info / "METADATA").read_text(encoding="utf-8")
    assert f"Version: {flangelayout.__version__}" in metadata
    assert "License-Expression: MIT" in metadata


@pytest.mark.slow
def test_the_package_runs_from_an_archive(unpacked: Path, tmp_path: Path) -> None:
    archive = tmp_path / "flangelayout.zip"
    with zipfile.ZipFile(archive, "w") as target:
        for path in sorted((unpacked / "flangelayout").rglob("*")):
            if path.is_file():
                target.write(path, path.relative_to(unpacked))
    run = ("-m", "flangelayout")
    assert "ring-flange" in python(*run, "new", place=archive, folder=tmp_path)
    assert "240" in python(*run, "standards", "dn150", "pn16", place=archive, folder=tmp_path)
    python(*run, "new", "ring-flange", "R-1.toml", place=archive, folder=tmp_path)
    python(*run, "draw", "R-1.toml", "--into", "a", place=archive, folder=tmp_path)
    python(*run, "draw", "R-1.toml", "--into", "b", place=unpacked, folder=tmp_path)
    made = [{path.name: path.read_bytes() for path in (tmp_path / each).iterdir() if path.is_file()} for each in "ab"]
    assert len(made[0]) >= 7
    assert made[0] == made[1]
