"""After any edits, the files and the states of the page are those of the command line for the job that it shows."""

import html
import io
import random
import re
import zipfile
from pathlib import Path
from urllib.parse import parse_qsl

import pytest

from flangelayout.checks import Result
from flangelayout.job.load import examine_job, load_job
from flangelayout.packet.job import build_packet
from web.served import RING, Client, query

ADDRESS = re.compile(r'id="address" href="/\?([^"]*)"')
TALLY = re.compile(r'id="tally"[^>]*><b>(\d+) to fix, (\d+) to look at\.</b> (\d+) checks?: (\d+) passed, (\d+) failed')
OFFERED = 'formaction="/packet.zip"'
TEXTS = {
    "plate.outside_diameter": ("285", "279.4", "300", "11 1/4 in", "28"),
    "plate.bore": ("170.5", "", "100", "6 5/8 in", "bad"),
    "plate.thickness": ("22", "", "3/4 in"),
    "plate.material": ("", "S235JR", "1.4571"),
    "job.number": ("H-114", "", "W-7", "a/b"),
    "job.revision": ("A", "B"),
    "bolt_circle.1.diameter": ("240", "", "235", "241.3", "9 1/2 in", "measured"),
    "bolt_circle.1.hole_count": ("8", "", "6", "12"),
    "bolt_circle.1.hole_diameter": ("22", "", "18", "7/8 in", "60"),
    "bolt_circle.1.bolt": ("", "M20", "M24", "3/4"),
    "bolt_circle.1.standard": ("", "EN 1092-1 PN16 DN150", "ASME B16.5 Class 150 NPS 6"),
    "survey.hole_count": ("", "8"),
    "n.value": ("", "91.84", "91.7", "93.5"),
    "view": ("flange", "sheet", "template", "cut"),
    "step": ("measure", "decide", "flange", "check", "take", "drilled"),
}
BUTTONS = (
    "add", "enter", "next", "delete:1", "redo:1", "pick:2", "count:8", "done", "edit:plate.bore",
    "keep:bolt_circle.1.diameter", "set:plate.bore=", "off:1", "step:check", "revise", "units:in", "units:mm",
    "show:in", "show:mm",
    "more:bolt_circle", "less:bolt_circle.2", "use:measured", "use:EN 1092-1 PN16 DN150",
    "use:ASME B16.5 Class 150 NPS 6", "look",
)  # fmt: skip


def edited(asking: Client, seed: int) -> dict[str, str]:
    """The fields after some random edits and buttons, as the page's own address writes them."""
    chance = random.Random(seed)
    fields = dict(RING) if chance.random() < 0.7 else {}
    for _ in range(chance.randint(3, 12)):
        if chance.random() < 0.65:
            key = chance.choice(list(TEXTS))
            sent = query({**fields, key: chance.choice(TEXTS[key])})
        else:
            sent = query({**fields, "do": chance.choice(BUTTONS)})
        answer = asking.get(f"/live?{sent}", hx_request="true").text
        found = ADDRESS.search(answer)
        assert found, answer[:300]
        fields = dict(parse_qsl(html.unescape(found[1])))
    return fields


def held_against_the_command_line(asking: Client, seed: int, folder: Path) -> bool:
    """Whether the job of a sequence can be drawn; if so, that the page gives and says what the command line does."""
    fields = edited(asking, seed)
    shown = asking.get(f"/live?{query({**fields, 'step': 'check'})}", hx_request="true").text
    taken = asking.get(f"/packet.zip?{query(fields)}")
    offered = OFFERED in shown or ("job.number" not in fields and 'value="edit:job.number"' in shown)
    assert (taken.status == 200) is offered, f"seed {seed}: files offered that cannot be had, or the reverse"
    if taken.status != 200:
        return False
    with zipfile.ZipFile(io.BytesIO(taken.content)) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    (name,) = (name for name in files if name.endswith(".toml"))
    path = folder / name
    path.write_bytes(files.pop(name))
    assert files == build_packet(load_job(path)), f"seed {seed}"
    findings = examine_job(path).findings
    results = [finding.result for finding in findings]
    tally = TALLY.search(shown)
    assert tally, f"seed {seed}: {shown[:300]}"
    passed, failed, noted = (results.count(each) for each in (Result.PASSED, Result.FAILED, Result.NOTED))
    expected = (failed, noted, len(results) - noted, passed, failed)
    assert tuple(map(int, tally.groups())) == expected, f"seed {seed}"
    return True


def judged(asking: Client, seeds: range, folder: Path) -> int:
    return sum(held_against_the_command_line(asking, seed, folder) for seed in seeds)


@pytest.mark.slow
def test_a_few_random_edits(asking: Client, tmp_path: Path) -> None:
    assert judged(asking, range(3), tmp_path) >= 1


@pytest.mark.slow
def test_thirty_random_edits(asking: Client, tmp_path: Path) -> None:
    assert judged(asking, range(100, 130), tmp_path) >= 8


@pytest.mark.property_deep
def test_two_hundred_random_edits(asking: Client, tmp_path: Path) -> None:
    assert judged(asking, range(1000, 1200), tmp_path) >= 60
