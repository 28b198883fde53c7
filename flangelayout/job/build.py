"""From the written keys to the flange and the settings."""

import math
from collections.abc import Mapping

from flangelayout.checks import Finding
from flangelayout.drawing.info import JobInfo
from flangelayout.errors import GeometryError, InputError, Problem
from flangelayout.flange import BoltCircle, Centerline, Flange, Placement, RoundOutline, SingleHole, Tolerances
from flangelayout.geometry.shapes import Point, polar
from flangelayout.job.job import CutSettings, Job, SheetSettings, TemplateSettings
from flangelayout.job.readings import survey_input
from flangelayout.job.schema import BoltCircleTable, HoleTable, JobFile, PlateTable
from flangelayout.standards import Pattern, credit, find
from flangelayout.units import Unit

_USUAL_PAPER = {Unit.MM: "A4", Unit.IN: "Letter"}


def build_flange(written: JobFile, surveyed: Mapping[int, str]) -> Flange:
    """The flange of a job file, its standards looked up.

    Args:
        written: The job file; every bolt circle diameter is missing or a number.
        surveyed: Where the diameter of a bolt circle came from, by index, if from the job's survey.

    Raises:
        InputError: With every key that is missing, contradicts another or names no standard.
    """
    problems: list[Problem] = []
    outside = _outside_diameter(written.plate, problems)
    several = len(written.bolt_circle) > 1
    circles = [
        _circle(table, f"bolt_circle[{index + 1}]" if several else "bolt_circle", problems, surveyed.get(index, ""))
        for index, table in enumerate(written.bolt_circle)
    ]
    singles = [_single_hole(table, f"hole[{index}]", problems) for index, table in enumerate(written.hole, 1)]
    plate = written.plate
    if plate.raised_face_height and not plate.raised_face_diameter:
        problems.append(Problem("plate.raised_face_height", "has no raised_face_diameter beside it; add that"))
    if plate.raised_face_height and plate.thickness and plate.raised_face_height >= plate.thickness:
        problems.append(Problem("plate.raised_face_height", "is not less than the thickness; correct one of them"))
    if problems or outside is None:
        raise InputError(*problems)
    return Flange(
        outline=RoundOutline(outside),
        bolt_circles=tuple(circle for circle in circles if circle),
        bore=plate.bore,
        thickness=plate.thickness,
        raised_face_diameter=plate.raised_face_diameter,
        raised_face_height=plate.raised_face_height or 0.0,
        single_holes=tuple(hole for hole in singles if hole),
        material=plate.material,
        face=plate.face,
        tolerances=Tolerances(written.tolerances.bolt_circle, written.tolerances.chord),
    )


def build_settings(written: JobFile, flange: Flange, info: JobInfo, digest: str, findings: tuple[Finding, ...]) -> Job:
    """The job round a flange that was found sound."""
    unit = Unit(written.units)
    paper = _USUAL_PAPER[unit]
    template = written.template
    layers = tuple((part, name) for part, name in written.cut.layers if name)
    if template.overlap > 40 or template.margin > 60:
        where = "template.overlap" if template.overlap > 40 else "template.margin"
        raise InputError(
            Problem(where, "leaves too little of the page; use an overlap up to 40 and a margin up to 60 mm")
        )
    return Job(
        info=info,
        flange=flange,
        unit=unit,
        digest=digest,
        cut=CutSettings(Unit(written.cut.units) if written.cut.units else unit, layers),
        template=TemplateSettings(template.paper or paper, template.overlap, template.margin),
        sheet=SheetSettings(written.sheet.paper or paper),
        findings=findings,
        survey=survey_input(written),
    )


def _pattern(designation: str, where: str, problems: list[Problem]) -> Pattern | None:
    """The row of the published tables with that designation, or ``None`` after telling ``problems``."""
    try:
        return find(designation)
    except InputError as unknown:
        problems += [Problem(where, problem.text) for problem in unknown.problems]
        return None


def _outside_diameter(plate: PlateTable, problems: list[Problem]) -> float | None:
    if plate.outside_diameter is not None:
        return plate.outside_diameter
    advice = "is missing; write for example outside_diameter = 285"
    if plate.standard is not None:
        pattern = _pattern(plate.standard, "plate.standard", problems)
        if pattern is None or pattern.outside_diameter is not None:
            return pattern.outside_diameter if pattern else None
        advice = f"is missing, and {pattern.designation} gives none; measure and write it"
    problems.append(Problem("plate.outside_diameter", advice))
    return None


def _circle(table: BoltCircleTable, where: str, problems: list[Problem], surveyed: str) -> BoltCircle | None:
    """The bolt circle of a table, or ``None`` after telling ``problems`` why there is none."""
    before = len(problems)
    pattern = _pattern(table.standard, f"{where}.standard", problems) if table.standard else None
    count = table.hole_count or len(table.angles) or (pattern.hole_count if pattern else None)
    written = table.diameter if isinstance(table.diameter, float) else None
    sizes = {
        "diameter": written or (pattern.bolt_circle if pattern else None),
        "hole_count": count,
        "hole_diameter": table.hole_diameter or (pattern.hole_diameter if pattern else None),
    }
    if pattern and not pattern.equally_spaced:
        unfit = f"{pattern.designation} is no circle of equally spaced holes; {pattern.note}"
        problems.append(Problem(f"{where}.standard", unfit))
    if len(problems) == before:
        problems += [Problem(f"{where}.{key}", _missing(key, table)) for key, value in sizes.items() if not value]
    if table.angles and (table.placement != "straddle" or table.centerline != "vertical"):
        problems.append(Problem(f"{where}.angles", "fix every hole; leave out placement and centerline"))
    if len(problems) > before:
        return None
    try:
        return BoltCircle(
            diameter=sizes["diameter"] or math.nan,
            hole_count=int(count or 0),
            hole_diameter=sizes["hole_diameter"] or math.nan,
            placement=Placement(table.placement),
            centerline=Centerline(table.centerline),
            start_angle=table.start_angle,
            skipped=tuple(table.skip),
            angles=tuple(table.angles),
            name=table.name,
            bolt=table.bolt or (pattern.bolt if pattern and pattern.bolt else ""),
            mates_with=table.mates_with,
            credit="; ".join(filter(None, (credit(pattern) if pattern else "", surveyed))),
        )
    except GeometryError as wrong:
        key = "angles" if table.angles and not table.skip else "skip"
        problems.append(Problem(f"{where}.{key}", f"{wrong}; correct the list"))
        return None


def _missing(key: str, table: BoltCircleTable) -> str:
    if table.standard:
        return f"is missing, and {table.standard} gives none; measure and write it"
    example = {"diameter": "240", "hole_count": "8", "hole_diameter": '22, or "7/8 in"'}[key]
    return (
        f'is missing; write for example {key} = {example}, or name a standard, as in standard = "EN 1092-1 PN16 DN150"'
    )


def _single_hole(table: HoleTable, where: str, problems: list[Problem]) -> SingleHole | None:
    square, round_ = (table.x, table.y), (table.radius, table.angle)
    if None not in square and round_ == (None, None):
        return SingleHole(Point(table.x or 0.0, table.y or 0.0), table.diameter, table.name)
    if None not in round_ and square == (None, None):
        return SingleHole(polar(table.radius or 0.0, table.angle or 0.0), table.diameter, table.name)
    problems.append(Problem(where, "needs its place: either x and y, or radius and angle"))
    return None
