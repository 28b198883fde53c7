"""What a person remarked in a job file stands in it again after the page wrote it anew."""

import tomllib
from pathlib import Path

from flangelayout.web.form.address import read_address
from flangelayout.web.form.remarks import remarks_of
from flangelayout.web.form.toml_text import job_text
from rows import every_row
from web.served import Client

FILE = """# for the weir gate,
# second try

units = "mm"  # as the gate

[plate]  # cut by waterjet
# outside: measured twice
outside_diameter = 285  # was 272
material = "S235 # not a remark"

[[bolt_circle]]
standard = "EN 1092-1 PN16 DN150"

# the pump side
[[bolt_circle]]
diameter = 200
hole_count = 4   # counted
hole_diameter = 18
"""


def test_every_remark_stands_where_it_stood_after_opening_and_taking_the_job_file(asking: Client) -> None:
    address = asking.post("/open", FILE.encode()).json["address"]
    taken = asking.get(f"/job.toml{address[1:]}").text
    assert tomllib.loads(taken) == tomllib.loads(FILE)
    lines = [" ".join(line.split()) for line in taken.splitlines() if line]
    assert lines[1:3] == ["# for the weir gate,", "# second try"]
    for line in ('units = "mm" # as the gate', "[plate] # cut by waterjet", "outside_diameter = 285 # was 272",
                 "hole_count = 4 # counted", 'material = "S235 # not a remark"'):  # fmt: skip
        assert line in lines
    assert lines[lines.index("outside_diameter = 285 # was 272") - 1] == "# outside: measured twice"
    second = lines.index("# the pump side")
    assert lines[second + 1 : second + 3] == ["[[bolt_circle]]", "diameter = 200"]
    again = asking.post("/open", taken.encode()).json["address"]
    assert again == address


def test_a_changed_value_keeps_its_remark_and_the_packet_is_of_the_same_text(asking: Client) -> None:
    address = asking.post("/open", FILE.encode()).json["address"][2:]
    changed = address.replace("outside_diameter=285", "outside_diameter=290")
    taken = asking.get(f"/job.toml?{changed}").text
    assert "outside_diameter = 290  # was 272" in taken
    assert 'name="c.plate.outside_diameter#" value="was 272"' in asking.get(f"/?{changed}").text


@every_row("said", ["\x00\x1b[2J", "a\r\nplate = 1", "x = 1\n[job]\nnumber = 7", "\u2028", '"""', "#" * 500])
def test_no_remark_becomes_anything_else(said: str) -> None:
    data: dict[str, object] = {"units": "mm", "plate": {"bore": 7}}
    for place in ("", "units", "units#", "plate", "plate#", "plate.bore", "plate.bore#", "nothing", "plate.1.x"):
        assert tomllib.loads(job_text(data, remarks=((place, said),))) == data


def test_samples_keep_their_remarks() -> None:
    own = job_text({}).splitlines()[0]
    for path in (Path(__file__).parents[3] / "samples").glob("*.toml"):
        text = path.read_text(encoding="utf-8")
        found = remarks_of(text)
        again = remarks_of(job_text(tomllib.loads(text), remarks=found), own)
        assert sorted(again) == sorted(found), path.name


def test_remarks_survive_the_address() -> None:
    state, _ = read_address("units=mm&c.plate.bore%23=was+168&c.=head%0D%0Aline&plate.bore=170")
    assert dict(state.remarks) == {"plate.bore#": "was 168", "": "head\nline"}
