"""Random sound jobs, every file of each read back by readers that know nothing of the package.

The holes wanted are worked out here from the numbers of the job alone. Each job is made from its number, so a run can
be cut in pieces: ``pytest -m fuzz tests/fuzz/test_random_jobs.py --first 4000 --jobs 2000 -n 2``.
"""

import csv
import io
import math
import random
import re
from collections.abc import Iterator, Sequence
from typing import Any

import pypdf
import pypdfium2
import pytest

from flangelayout.job.load import job_from_data
from flangelayout.packet.job import build_packet

pytestmark = pytest.mark.fuzz

Circle = tuple[float, float, float]
"""Center and diameter in mm."""
Matrix = tuple[float, float, float, float, float, float]
_NEAR = 0.003
_POINTS_PER_MM = 72 / 25.4
_WHOLE: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
_TOKEN = re.compile(rb"\((?:\\.|[^\\)])*\)|\[[^\]]*\]|/[^\s/\[\]()<>]+|[^\s\[\]()/]+")


def random_job(number: int) -> tuple[dict[str, Any], list[Circle], list[Circle]]:
    """A job, its holes, and the round edges of its plate."""
    rng = random.Random(number)
    unit = rng.choice(("mm", "mm", "in"))
    factor = 25.4 if unit == "in" else 1.0

    def size(least: float, most: float) -> float:
        """A length in the job's unit, of few decimals."""
        return round(rng.uniform(least, most) / factor, 3 if unit == "in" else 1)

    outside, thickness = size(120, 700), size(6, 60)
    holes: list[Circle] = []
    circles = []
    edge = outside / 2
    for _ in range(rng.randint(1, 2)):
        count = rng.choice((3, 4, 5, 6, 8, 8, 12, 16, 20))
        hole = size(5, 26)
        radius = edge - 1.6 * hole - 3 / factor
        inside = radius - 1.6 * hole - 3 / factor
        if inside * factor < 12 or 2 * radius * math.sin(math.pi / count) < 2.2 * hole:
            continue
        straddle, upright = rng.random() < 0.6, rng.random() < 0.7
        diameter = round(2 * radius, 1 if unit == "mm" else 3)
        circle: dict[str, Any] = {"diameter": diameter, "hole_count": count, "hole_diameter": hole}
        circle |= {"placement": "straddle" if straddle else "on-centerline"}
        circle |= {"centerline": "vertical" if upright else "horizontal"}
        circles.append(circle)
        first = (90.0 if upright else 0.0) + (180 / count if straddle else 0.0)
        turns = [math.radians(first + 360 * index / count) for index in range(count)]
        reach = diameter / 2 * factor
        holes += [(reach * math.cos(turn), reach * math.sin(turn), hole * factor) for turn in turns]
        edge = inside
    bore = round(2 * edge * rng.uniform(0.3, 0.9), 1 if unit == "mm" else 3)
    plate: dict[str, Any] = {"outside_diameter": outside, "thickness": thickness, "bore": bore}
    cut: dict[str, Any] = {"dxf_version": rng.choice(("R12", "R2000", "R2010")), "units": rng.choice(("mm", "in"))}
    paper = rng.choice(("A4", "Letter", "A3"))
    job = {"units": unit, "job": {"number": f"R-{number}"}, "plate": plate, "bolt_circle": circles, "cut": cut}
    job |= {"template": {"paper": paper}, "sheet": {"paper": paper, "convention": rng.choice(("ISO", "ASME"))}}
    return job, holes, [(0.0, 0.0, outside * factor), (0.0, 0.0, bore * factor)]


def matched(found: Sequence[Circle], wanted: Sequence[Circle], what: str, *, exactly: bool = False) -> None:
    """Every circle that is wanted was found; with ``exactly`` nothing else, and none twice."""
    for x, y, diameter in wanted:
        near = [each for each in found if math.hypot(each[0] - x, each[1] - y) < _NEAR]
        fits = [each for each in near if abs(each[2] - diameter) < _NEAR]
        assert fits, f"{what}: no circle of {diameter:.4f} at {x:.4f}, {y:.4f}; there: {near}"
        assert not exactly or len(fits) == 1, f"{what}: {fits}"
    assert not exactly or len(found) == len(wanted), f"{what}: {len(found)} circles, not {len(wanted)}"


def dxf_circles(data: bytes, to_mm: float) -> list[Circle]:
    """The circles among the entities of a DXF, its lines read by twos."""
    lines = data.decode("utf-8", "replace").splitlines()
    groups = list(zip((int(code) for code in lines[::2]), lines[1::2], strict=False))
    groups = groups[groups.index((2, "ENTITIES")) :]
    found: list[Circle] = []
    kind, values = "", dict[int, str]()
    for code, value in groups:
        if code == 0:
            if kind == "CIRCLE" and 67 not in values:
                x, y, radius = (float(values[key]) * to_mm for key in (10, 20, 40))
                found.append((x, y, 2 * radius))
            kind, values = value, {}
        else:
            values[code] = value
    return found


def svg_circles(data: bytes) -> list[Circle]:
    """The circles of an SVG about the middle of its largest one, y up."""
    text = data.decode()
    tags = [dict(re.findall(r'(\w+)="([^"]*)"', tag)) for tag in re.findall(r"<circle ([^>]*)>", text)]
    return about_largest([(float(tag["cx"]), -float(tag["cy"]), 2 * float(tag["r"])) for tag in tags])


def about_largest(circles: Sequence[Circle]) -> list[Circle]:
    if not circles:
        return []
    x, y, _ = max(circles, key=lambda circle: circle[2])
    return [(each - x, up - y, diameter) for each, up, diameter in circles]


def pdf_circles(content: bytes, forms: Any, matrix: Matrix = _WHOLE) -> Iterator[Circle]:  # noqa: ANN401, C901, PLR0912
    """Closed paths of nothing but curves, in mm of the page: what an interpreter of operators sees as circles."""
    kept: list[Matrix] = []
    numbers: list[float] = []
    path: list[tuple[float, float]] = []
    name, curves, lines = "", 0, 0
    for token in _TOKEN.findall(content):
        first = token[:1]
        if first in b"0123456789-+.":
            numbers.append(float(token))
            continue
        match token:
            case b"q":
                kept.append(matrix)
            case b"Q":
                matrix = kept.pop()
            case b"cm":
                matrix = times(numbers[-6:], matrix)
            case b"m":
                path, curves, lines = [placed(numbers[-2:], matrix)], 0, 0
            case b"l":
                lines += 1
            case b"c":
                path.append(placed(numbers[-2:], matrix))
                curves += 1
            case b"h" if curves >= 4 and not lines:
                xs, ys = [x for x, _ in path], [y for _, y in path]
                middle = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
                yield middle[0] / _POINTS_PER_MM, middle[1] / _POINTS_PER_MM, (max(xs) - min(xs)) / _POINTS_PER_MM
            case b"Do":
                yield from pdf_circles(forms[name].get_data(), forms, matrix)
            case _ if first == b"/":
                name = token.decode()
            case _:
                pass
        if first != b"/":
            numbers = []


def times(step: Sequence[float], matrix: Matrix) -> Matrix:
    a, b, c, d, e, f = step
    p, q, r, s, t, u = matrix
    return a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s, e * p + f * r + t, e * q + f * s + u


def placed(point: Sequence[float], matrix: Matrix) -> tuple[float, float]:
    (x, y), (a, b, c, d, e, f) = point, matrix
    return a * x + c * y + e, b * x + d * y + f


def check_template(data: bytes, wanted: Sequence[Circle], what: str) -> None:
    """Each page that shows the plate shows it at real size, and every hole's middle lies on one of the pages."""
    seen: set[int] = set()
    for page in pypdf.PdfReader(io.BytesIO(data)).pages:
        resources = page["/Resources"]
        forms = resources.get("/XObject", {})  # type: ignore[attr-defined]
        circles = list(pdf_circles(page.get_contents().get_data(), forms))  # type: ignore[union-attr]
        if not any(abs(each[2] - wanted[0][2]) < _NEAR for each in circles):
            continue
        matched(about_largest(circles), wanted, what)
        x, y, _ = max(circles, key=lambda circle: circle[2])
        width, height = (float(edge) / _POINTS_PER_MM for edge in page.mediabox[2:])
        seen |= {index for index, hole in enumerate(wanted) if 0 < x + hole[0] < width and 0 < y + hole[1] < height}
    lost = [hole for index, hole in enumerate(wanted) if index not in seen and hole[:2] != (0.0, 0.0)]
    assert not lost, f"{what}: no page shows the middle of {lost}"


def check_hole_list(data: bytes, wanted: Sequence[Circle], to_mm: float, what: str) -> None:
    rows = list(csv.reader(io.StringIO(data.decode("utf-8-sig"))))
    columns = [
        next(at for at, head in enumerate(rows[0]) if head.startswith(lead)) for lead in ("x_c", "y_c", "hole_d")
    ]
    found = [tuple(float(row[at]) * to_mm for at in columns) for row in rows[1:]]
    assert len(found) == len(wanted)
    for x, y, diameter in wanted:
        assert any(
            math.hypot(one[0] - x, one[1] - y) < 0.002 * to_mm and abs(one[2] - diameter) < 0.002 * to_mm
            for one in found
        ), f"{what}: {x:.4f}, {y:.4f} is not in the list"


def check_said(data: bytes, job: dict[str, Any], what: str) -> None:
    """The sheet says the sizes of plate and circles, as numbers that stand alone."""
    document = pypdfium2.PdfDocument(data)
    text = "".join(page.get_textpage().get_text_range() for page in document)
    said = set(re.findall(r"(?<![\d.])\d*\.?\d+", text))
    sizes = [job["plate"]["outside_diameter"], job["plate"]["bore"]]
    sizes += [circle[key] for circle in job["bolt_circle"] for key in ("diameter", "hole_diameter")]
    for size in sizes:
        forms = {f"{size:.{places}f}" for places in range(4) if round(size, places) == size}
        assert said & (forms | {form.removeprefix("0") for form in forms}), f"{what}: {size} is not on the sheet"


def check_job(number: int) -> None:
    data, holes, edges = random_job(number)
    files = build_packet(job_from_data(data))
    wanted = [*edges, *holes]
    for name, content in files.items():
        what, to_mm = f"job {number}, {name}", 25.4 if name.endswith(("_in.dxf", "_in.csv")) else 1.0
        if "_cut_" in name and name.endswith(".dxf"):
            matched(dxf_circles(content, to_mm), wanted, what, exactly=True)
        elif "_cut_" in name:
            matched(svg_circles(content), wanted, what, exactly=True)
        elif name.endswith(".dxf"):
            matched(dxf_circles(content, to_mm), wanted, what)
        elif "_template_" in name and name.endswith(".svg"):
            matched(svg_circles(content), wanted, what)
        elif "_template_" in name:
            check_template(content, wanted, what)
        elif name.endswith(".csv"):
            check_hole_list(content, holes, to_mm, what)
        elif name.endswith("_sheet.pdf"):
            check_said(content, data, what)
        else:
            raise AssertionError(f"{what} is read by nobody")


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """A test for every two hundred jobs, so that two processes share them and a failing one says which."""
    first, jobs = (int(metafunc.config.getoption(name)) for name in ("first", "jobs"))
    starts = range(first, first + jobs, _PIECE)
    metafunc.parametrize(
        "numbers", [range(at, min(at + _PIECE, first + jobs)) for at in starts], ids=lambda r: str(r[0])
    )


_PIECE = 200


def test_every_file_of_a_random_job_holds_what_the_job_says(numbers: range) -> None:
    wrong = []
    for number in numbers:
        try:
            check_job(number)
        except Exception as fault:
            wrong.append(f"job {number}: {type(fault).__name__}: {str(fault)[:300]}")
    assert not wrong, "\n".join(wrong[:20])
