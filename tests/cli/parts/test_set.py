"""``flangelayout set``: keys into a job file that is there, and the commands that a check prints."""

import shlex
from collections.abc import Callable
from pathlib import Path

import pytest

from flangelayout.cli import run
from flangelayout.flange import Tapped
from flangelayout.job.load import load_job

Printed = Callable[..., tuple[int, str, str]]
JOB = """# a plate
# for the weir
units = "mm"

[plate]
outside_diameter = 285 # sawn
bore = 100
thickness = 45

# to the pump
[[bolt_circle]]
diameter = 240
hole_count = 8
hole_diameter = 22
bolt = "M20"

# [[mate]]
# circle = "A"
"""


@pytest.fixture
def printed(capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Printed:
    """Runs a command in a folder with the job and gives its exit code, its output and its errors."""
    monkeypatch.chdir(tmp_path)
    Path("T-1.toml").write_text(JOB, encoding="utf-8")

    def call(*arguments: str) -> tuple[int, str, str]:
        code = run(arguments)
        out, err = capsys.readouterr()
        return code, out, err

    return call


def test_keys_are_written_and_taken_out_and_remarks_stay(printed: Printed) -> None:
    words = ("thk=1.5 in", "bolt_circle.kind=tapped", "bolt_circle.thread=M20", "bolt_circle.hole_diameter=", "bolt=")
    assert printed("set", "T-1.toml", *words)[0] == 0
    text, job = Path("T-1.toml").read_text(encoding="utf-8"), load_job("T-1.toml")
    assert job.flange.thickness == pytest.approx(38.1)
    assert "hole_diameter" not in text
    assert 'bolt = "M20"' not in text
    for said in (
        "# a plate\n# for the weir\n",
        "285  # sawn",
        "# to the pump\n[[bolt_circle]]",
        '# [[mate]]\n# circle = "A"\n',
    ):
        assert said in text
    assert printed("set", "T-1.toml", "thk=45")[0] == 0
    assert "# a plate\n# for the weir\n" in Path("T-1.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("word", "told"),
    [
        ("nonsense=3", "nonsense: is no key of a job"),
        ("nonsense=", "nonsense: is no key of a job"),
        ("bore=300", "leaves nothing of a plate"),
        ("thk=thick", "plate.thickness"),
        ("thk", "is no key with its value"),
    ],
)
def test_what_cannot_be_read_leaves_the_file_alone(printed: Printed, word: str, told: str) -> None:
    code, _, err = printed("set", "T-1.toml", word)
    assert code == 2
    assert told in err
    assert Path("T-1.toml").read_text(encoding="utf-8") == JOB


def test_the_commands_that_a_check_prints_put_right_what_it_failed(printed: Printed) -> None:
    """A nut of M20 on 240 stands in to 240 / 2 - 17.32 = 102.68 mm; JIS B 2220 10K 100A is 210 wide."""
    circle = ("PCD=240", "holes=8", "hole_diameter=22", "bolt=M20", 'bolt_circle.1.mates_with="EN 1092-1 PN16 DN150"')
    second = ("bolt_circle.2.standard=JIS 10K 100A", "bolt_circle.2.kind=tapped", "bolt_circle.2.start_angle=22.5")
    assert printed("new", "T-2.toml", "OD=285", "ID=100", "thk=45", *circle, *second)[0] == 0
    code, out, _ = printed("check", "T-2.toml")
    assert code == 1
    assert "runs 2.32 mm under the rim of its mate JIS B 2220 10K 100A" in out
    commands = [shlex.split(line.partition(": ")[2]) for line in out.splitlines() if "flangelayout set" in line]
    assert commands
    for command in commands:
        assert printed(*command[1:])[0] == 0
    code, out, _ = printed("check", "T-2.toml")
    assert (code, "flangelayout set" in out) == (0, False)
    assert load_job("T-2.toml").flange.bolt_circles[0].kind == Tapped("M20", 20.0, 30.0, 37.5)
