"""Jobs for tests: builders that fill in what a test does not name, and strategies for any sound job."""

import json
import math
from typing import Any

from hypothesis import strategies as st

from flangelayout.flange import BoltCircle, Flange, RoundOutline
from flangelayout.geometry.shapes import ORIGIN, Circle
from flangelayout.job import Job
from flangelayout.job.load import job_from_data
from flangelayout.units import Unit, from_mm

Data = dict[str, Any]

PAPERS = ("A4", "Letter", "A3", "Tabloid")

HOSTILE_TEXTS = (
    "\x00\x01\x1b[31m\x7f\x85",
    "%%c %%d %%u %%065",
    "<script>&amp; ]]> <!--",
    "one\nENDSEC\r\n0\nEOF\ttab",
    "\u202egnp.exe \u05e9\u05dc\u05d5\u05dd \u0627\u0644",
    "\U0001f41f\U0001f9d1\u200d\U0001f527 魚",
    ") Tj ET endstream \\( \\012",
    r"\U+0041 {\H3x;} \P ^J",
    "long " * 399,
    "x" * 2000,
    "'; DROP \" ` $(x) =1+1",
)


def bolt_circle(
    hole_count: int = 8,
    diameter: float = 240.0,
    hole_diameter: float = 22.0,
    **changes: Any,  # noqa: ANN401 - fields of any kind
) -> BoltCircle:
    """A bolt circle, by default that of EN 1092-1 DN150 PN16."""
    return BoltCircle(diameter, hole_count, hole_diameter, **changes)


def flange(
    *circles: BoltCircle,
    outside_diameter: float = 285.0,
    **changes: Any,  # noqa: ANN401 - fields of any kind
) -> Flange:
    """A round plate with one bolt circle unless others are given."""
    return Flange(RoundOutline(outside_diameter), circles or (bolt_circle(),), **changes)


def job_data(**tables: object) -> Data:
    """The tables of a small sound job; a table or key given replaces the usual one."""
    usual: Data = {
        "job": {"number": "T-1", "title": "Test plate"},
        "plate": {"outside_diameter": 285, "bore": 170, "thickness": 22},
        "bolt_circle": [{"diameter": 240, "hole_count": 8, "hole_diameter": 22}],
    }
    return usual | tables


def make_job(**tables: object) -> Job:
    """The job of :func:`job_data`."""
    return job_from_data(job_data(**tables))


def toml_text(data: Data) -> str:
    """The job file of some tables: keys first, then tables, arrays of tables last."""
    plain = {key: value for key, value in data.items() if not _is_table(value)}
    lines = [f"{key} = {_toml(value)}" for key, value in plain.items()]
    for key, value in data.items():
        if isinstance(value, dict):
            lines += [f"[{key}]", *(f"{name} = {_toml(entry)}" for name, entry in value.items())]
    for key, value in data.items():
        if _is_table(value) and not isinstance(value, dict):
            for table in value:
                lines += [f"[[{key}]]", *(f"{name} = {_toml(entry)}" for name, entry in table.items())]
    return "\n".join(lines) + "\n"


def model_circles(job: Job) -> list[tuple[float, float, float]]:
    """Center and radius in mm of everything round that is cut: the holes, the bore, the edge."""
    plate = job.flange
    holes = [(hole.center.x, hole.center.y, hole.diameter / 2) for hole in plate.holes()]
    center = [Circle(ORIGIN, plate.bore / 2)] if plate.bore is not None else []
    edge = Circle(ORIGIN, outside_diameter(job) / 2)
    return holes + [(circle.center.x, circle.center.y, circle.radius) for circle in (*center, edge)]


def outside_diameter(job: Job) -> float:
    """Outside diameter in mm of a job on a round plate."""
    assert isinstance(job.flange.outline, RoundOutline)
    return job.flange.outline.outside_diameter


def _is_table(value: object) -> bool:
    return isinstance(value, dict) or (isinstance(value, list) and bool(value) and isinstance(value[0], dict))


def _toml(value: object) -> str:
    """A JSON text or number is a TOML one, but for the characters TOML wants escaped otherwise."""
    if isinstance(value, list):
        return "[" + ", ".join(_toml(entry) for entry in value) + "]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {_toml(entry)}" for key, entry in value.items()) + "}"
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def round_to(value: float, unit: Unit) -> float:
    """A length in mm as a person would write it in ``unit``: thousandths of a mm, ten-thousandths of an inch."""
    return round(from_mm(value, unit), 3 if unit is Unit.MM else 4)


@st.composite
def circle_tables(draw: st.DrawFn, outside: float, share: float, unit: Unit) -> Data:
    """A ``[[bolt_circle]]`` of diameter ``share`` times ``outside`` whose holes clear each other and the next ring."""
    diameter = outside * share * draw(st.floats(0.98, 1.02))
    table: Data = {"diameter": round_to(diameter, unit)}
    steps = draw(st.lists(st.integers(1, 4), min_size=1, max_size=24))
    equal = draw(st.booleans())
    if equal or len(steps) == 1:
        count = len(steps)
        table["hole_count"] = count
        least = math.pi / count
        table["placement"] = draw(st.sampled_from(["straddle", "on-centerline"]))
        table["centerline"] = draw(st.sampled_from(["vertical", "horizontal"]))
    else:
        ends = [sum(steps[:index]) * 360 / sum(steps) for index in range(len(steps))]
        table["angles"] = [round(end, 4) for end in ends]
        least = min(steps) * math.pi / sum(steps)
    table["start_angle"] = draw(st.floats(-360, 360).map(lambda angle: round(angle, 3)))
    if len(steps) > 2 and draw(st.booleans()):
        table["skip"] = sorted(draw(st.sets(st.integers(1, len(steps)), min_size=1, max_size=len(steps) - 2)))
    room = min(0.06 * outside, 0.8 * diameter * math.sin(least) if least < math.pi / 2 else math.inf)
    table["hole_diameter"] = round_to(max(room * draw(st.floats(0.5, 1.0)), 0.5), unit)
    return table | draw(st.fixed_dictionaries({}, optional={"bolt": st.just("M20"), "name": st.text(max_size=12)}))


@st.composite
def job_tables(draw: st.DrawFn, largest: float = 900.0) -> Data:
    """The tables of any sound job: one or two bolt circles, perhaps a bore, perhaps a single hole."""
    unit = draw(st.sampled_from(Unit))
    outside = draw(st.floats(120.0, largest))
    plate: Data = {"outside_diameter": round_to(outside, unit)}
    if draw(st.booleans()):
        plate["bore"] = round_to(outside * draw(st.floats(0.05, 0.36)), unit)
    shares = draw(st.sampled_from([(0.85,), (0.85, 0.64), (0.64,)]))
    data: Data = {
        "units": unit.value,
        "job": {"number": draw(st.sampled_from(["H-1", "MB 7/2", "Größe"])), "title": draw(st.text(max_size=30))},
        "plate": plate,
        "bolt_circle": [draw(circle_tables(outside, share, unit)) for share in shares],
        "template": {"paper": draw(st.sampled_from(PAPERS))},
        "sheet": {"paper": draw(st.sampled_from(PAPERS))},
        "cut": {"units": draw(st.sampled_from(["mm", "in"]))},
    }
    if draw(st.booleans()):
        place = {"radius": round_to(outside * 0.225, unit), "angle": draw(st.integers(-360, 360))}
        data["hole"] = [{"diameter": round_to(outside * draw(st.floats(0.02, 0.05)), unit), **place}]
    return data


def jobs(largest: float = 900.0) -> st.SearchStrategy[Job]:
    """Any sound job on a plate up to ``largest`` mm."""
    return job_tables(largest).map(job_from_data)
