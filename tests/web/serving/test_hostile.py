"""Requests that mean harm, and requests that mean nothing: no error of the program, no file where none belongs."""

import random
from pathlib import Path

import pytest

from flangelayout.files.records import RECORDS_FOLDER
from web.served import Client, client, query

STRANGE = (
    "\x00",
    "../../../etc/passwd",
    "..\\..\\windows",
    "<script>alert(1)</script>",
    "'; DROP TABLE jobs; --",
    "%c %n %s {0} {{7*7}} ${7*7}",
    "\u202e\u0000\ud800\uffff",
    "9" * 400,
    "1e999",
    "-1",
    "0",
    "nan",
    "inf",
    "1/0",
    "7/8 in",
    "measured",
    "nearest standard",
    "魚" * 50,
    "\n\r\n\r\nHTTP/1.1 200 OK",
    "",
    " ",
    "true",
    "[]",
    "400",
    "10000",
)
KEYS = (
    "units",
    "job.number",
    "job.revision",
    "job.notes",
    "job.date",
    "plate",
    "plate.outside_diameter",
    "plate.bore",
    "plate.thickness",
    "plate.face",
    "bolt_circle.1.diameter",
    "bolt_circle.1.hole_count",
    "bolt_circle.1.hole_diameter",
    "bolt_circle.1.placement",
    "bolt_circle.1.skip",
    "bolt_circle.1.angles",
    "bolt_circle.1.standard",
    "bolt_circle.2.diameter",
    "bolt_circle.50.diameter",
    "bolt_circle.0.diameter",
    "hole.1.x",
    "hole.1.diameter",
    "survey.hole_count",
    "survey.hole_diameter",
    "survey.reading.1.value",
    "survey.reading.1.kind",
    "survey.reading.1.from",
    "survey.reading.2.value",
    "n.value",
    "n.kind",
    "n.from",
    "n.to",
    "template.paper",
    "template.margin",
    "template.overlap",
    "sheet.paper",
    "cut.units",
    "cut.layers.holes",
    "step",
    "edit",
    "set",
    "d.1-2",
    "c.plate.bore#",
    "c.",
    "show",
    "view",
    "find",
    "onto",
    "was.plate.bore",
    "a.b.c.d.e.f",
    ".",
    "",
    "__proto__",
    "do",
)
DONE = (
    "add",
    "redo:1",
    "delete:1",
    "pick:3",
    "count:9",
    "edit:plate.bore",
    "edit:plate.path.1.x",
    "set:plate.bore=7",
    "set:x=1",
    "keep:bolt_circle.1.diameter",
    "off:1",
    "done",
    "revise",
    "begin:hand",
    "group:job",
    "step:check",
    "view:sheet",
    "more:plate.path",
    "less:plate.path.1",
    "next",
    "use:measured",
    "use:dn150 pn16",
    "show:in",
    "units:in",
    "more:hole",
    "less:hole.1",
)
PATHS = (
    "/",
    "/live",
    "/files",
    "/view",
    "/part/sheet",
    "/job.toml",
    "/packet.zip",
    "/file/H-114-A_cut_mm.dxf",
    "/jobs/H-114-A.toml",
    "/start/blind",
)
USUAL = (0.42, 0.36, 0.04, 0.03, 0.01, 0.06, 0.02, 0.02, 0.02, 0.02)


def mutated(random_: random.Random) -> str:
    """A job with some of its fields made strange, sometimes cut or with bytes put in."""
    fields = dict(pair.split("=", 1) for pair in query().split("&"))
    for _ in range(random_.randint(1, 4)):
        key = random_.choice(KEYS)
        value = random_.choice((*DONE, *STRANGE)) if key == "do" else random_.choice(STRANGE)
        fields[key] = "".join(f"%{byte:02X}" for byte in value.encode("utf-8", "surrogatepass"))
    text = "&".join(f"{key}={value}" for key, value in fields.items())
    for _ in range(random_.choice((0, 0, 1, 3))):
        at = random_.randrange(len(text))
        text = text[:at] + random_.choice(("&", "=", "%", "%zz", "+", ";", "\xff", "\x00", "?", "#")) + text[at:]
    return text[: random_.randrange(len(text))] if random_.random() < 0.1 else text


def request_sanely(asking: Client, random_: random.Random, folder: Path) -> None:
    method = "POST" if random_.random() < 0.08 else "GET"
    path = random_.choices(PATHS, USUAL)[0]
    text = mutated(random_)
    if method == "POST":
        answer = asking.post(
            random_.choice(("/save", "/open", "/live", "/static/page.js")), text.encode("utf-8", "replace")
        )
    else:
        answer = asking.get(f"{path}?{text}", **({"hx_request": "true"} if random_.random() < 0.5 else {}))
    assert answer.status in (200, 303, 400, 404, 405, 413, 414, 422), (answer.status, method, path, text)
    if answer.headers.get("content-type", "").startswith("text/html"):
        assert "<script>alert" not in answer.text
        assert str(folder) not in answer.text


def storm(folder: Path, count: int, seed: int) -> None:
    """Many mutated requests; afterwards everything written lies in the jobs folder."""
    inside = folder / "jobs"
    inside.mkdir()
    random_ = random.Random(seed)
    with client(inside) as asking:
        for _ in range(count):
            request_sanely(asking, random_, folder)
    assert [path.name for path in folder.iterdir()] == ["jobs"]
    assert all(path.is_file() for path in inside.iterdir() if path.name != RECORDS_FOLDER)


@pytest.mark.slow
def test_mutated_requests_never_break_the_program(tmp_path: Path) -> None:
    storm(tmp_path, 60, seed=3)


@pytest.mark.property_deep
def test_two_thousand_mutated_requests_never_break_the_program(tmp_path: Path) -> None:
    storm(tmp_path, 2_000, seed=7)


@pytest.mark.parametrize(
    "target",
    [
        "/../../etc/passwd",
        "/%2e%2e/%2e%2e/etc/passwd",
        "//evil.example/",
        "/file/..%2f..%2fetc%2fpasswd",
        "/static/%2e%2e%2fapp.py",
        "/file/" + "a" * 3_000,
        "/\x00",
        "/jobs/%00",
        "/\ud800",
    ],
)
def test_no_path_reaches_the_file_system(asking: Client, target: str) -> None:
    answer = asking.get(target)
    assert answer.status in (400, 404)
    assert b"root:" not in answer.content
