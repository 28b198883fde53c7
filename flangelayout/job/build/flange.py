"""From the written keys to the flange and the settings."""

import math
from collections.abc import Mapping
from dataclasses import replace

from flangelayout.checks import Finding, MeasuredPlate, check_cutting, check_drill_depth, check_shop
from flangelayout.checks.plate.rules import without_left_out
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.papers import usual_paper
from flangelayout.errors import GeometryError, InputError, Problem
from flangelayout.flange import (
    BoltCircle,
    Centerline,
    Flange,
    Outline,
    Placement,
    SegmentOutline,
    SingleHole,
    Tolerances,
)
from flangelayout.flange.bolt_circle import can_pair
from flangelayout.flange.bolting import Joint
from flangelayout.geometry.shapes import Point, polar
from flangelayout.job.borders import BorderPlaces
from flangelayout.job.build.cut_and_machine import cut_settings, machine_settings
from flangelayout.job.build.hole_kinds import Made, build_patterns, make_holes
from flangelayout.job.build.limits import check_limits, inspection_limits, named_rows
from flangelayout.job.build.outlines import build_openings, build_outline, ring_opening
from flangelayout.job.build.readings import survey_input
from flangelayout.job.build.sheet import bore_problems, sheet_settings
from flangelayout.job.build.template import template_settings
from flangelayout.job.job import Job
from flangelayout.job.schema.job_file import BoltCircleTable, HoleTable, JobFile
from flangelayout.job.schema.plate import PlateTable
from flangelayout.problems.cures import Cure
from flangelayout.problems.job import JobProblem
from flangelayout.problems.schema import SchemaProblem
from flangelayout.standards import Pattern, credit, find
from flangelayout.units import Unit

_EXAMPLES: dict[str, tuple[int | str, ...]] = {
    "diameter": (240,),
    "hole_count": (8,),
    "hole_diameter": (22, "7/8 in"),
}
"""What each size of a bolt circle may be, for those who are told that it is missing."""


def build_flange(written: JobFile, surveyed: Mapping[int, str]) -> Flange:
    """The flange of a job file, its standards looked up.

    Args:
        written: The job file; every bolt circle diameter is missing or a number.
        surveyed: Where the diameter of a bolt circle came from, by index, if from the job's survey.

    Raises:
        InputError: With every key that is missing, contradicts another or names no standard.
    """
    problems: list[Problem] = []
    several = len(written.bolt_circle) > 1
    circles = [
        _circle(table, f"bolt_circle[{index + 1}]" if several else "bolt_circle", problems, surveyed.get(index, ""))
        for index, table in enumerate(written.bolt_circle)
    ]
    singles = [
        _single_hole(table, f"hole[{index}]" if len(written.hole) > 1 else "hole", problems)
        for index, table in enumerate(written.hole, 1)
    ]
    plate = written.plate
    drilled = tuple(circle for circle in circles if circle)
    outline = _outline(plate, drilled, problems)
    patterns, openings = build_patterns(written, problems), build_openings(written.opening, problems)
    ring = ring_opening(plate)
    if plate.raised_face_height and not plate.raised_face_diameter:
        problems.append(Problem("plate.raised_face_height", JobProblem.FACE_HEIGHT_ALONE))
    if plate.raised_face_height and plate.thickness and plate.raised_face_height >= plate.thickness:
        problems.append(Problem("plate.raised_face_height", JobProblem.FACE_HEIGHT_OVER_THICKNESS))
    problems += bore_problems(plate)
    if problems or outline is None:
        raise InputError(*problems)
    return Flange(
        outline=outline,
        bolt_circles=tuple(_within_segment(circle, outline) for circle in drilled),
        bore=None if ring else plate.bore,
        thickness=plate.thickness,
        raised_face_diameter=plate.raised_face_diameter,
        raised_face_height=plate.raised_face_height or 0.0,
        single_holes=tuple(hole for hole in singles if hole),
        material=plate.material,
        face=plate.face,
        tolerances=Tolerances(written.tolerances.bolt_circle, written.tolerances.chord),
        patterns=patterns,
        openings=(*((ring,) if ring else ()), *openings),
        bore_chamfer=plate.bore_chamfer or 0.0,
        bore_cut=plate.bore_cut,
        density=plate.density,
    )


def build_settings(
    written: JobFile,
    plate: MeasuredPlate,
    info: JobInfo,
    digest: str,
    findings: tuple[Finding, ...],
    places: BorderPlaces = BorderPlaces(),
) -> Job:
    """The job round a plate that was found sound; ``places`` are where its border is looked for."""
    unit, flange = Unit(written.units), plate.flange
    paper = usual_paper(unit)
    problems: list[Problem] = []
    cut = cut_settings(written, unit, problems)
    machine = machine_settings(written, flange, unit, problems)
    template = template_settings(written.template, paper, flange, problems)
    sheet = sheet_settings(written.sheet, unit, paper, places, problems)
    if problems or sheet is None:
        raise InputError(*problems)
    limits = check_limits(written)
    making = (
        *check_cutting(flange, cut.options, info.number),
        *check_drill_depth(flange, machine.drilling.depth),
    )
    return Job(
        info=info,
        flange=flange,
        unit=unit,
        digest=digest,
        cut=cut,
        machine=machine,
        template=template,
        sheet=sheet,
        findings=(
            *without_left_out(findings, limits.off),
            *check_shop(plate, limits, named_rows(written)),
            *without_left_out(making, limits.off),
        ),
        survey=survey_input(written),
        limits=limits,
        inspection=inspection_limits(written, flange),
    )


def _pattern(designation: str, where: str, problems: list[Problem]) -> Pattern | None:
    """The row of the published tables with that designation, or ``None`` after telling ``problems``."""
    try:
        return find(designation)
    except InputError as unknown:
        problems += unknown.placed(where)
        return None


def _outline(plate: PlateTable, circles: tuple[BoltCircle, ...], problems: list[Problem]) -> Outline | None:
    """The plate's outline, or ``None`` after telling ``problems`` why there is none."""
    outside = _outside_diameter(plate, problems) if plate.outline == "round" else None
    if outside is not None:
        plate = plate.model_copy(update={"outside_diameter": outside})
    elif plate.outline == "round":
        return None
    return build_outline(plate, circles, problems)


def _within_segment(circle: BoltCircle, outline: Outline) -> BoltCircle:
    """On a plate that is one segment of a ring, the circle without the places beyond its two joints."""
    if not isinstance(outline, SegmentOutline):
        return circle
    sweep = 360.0 / outline.part_count
    places = zip(circle.hole_numbers(), circle.hole_angles(), strict=True)
    beyond = [number for number, angle in places if (angle - outline.first_joint_angle) % 360.0 >= sweep]
    if len(beyond) == len(circle.hole_numbers()):
        raise InputError.of(JobProblem.NO_HOLE_ON_SEGMENT, "plate.first_joint_angle")
    return replace(circle, skipped=(*circle.skipped, *beyond))


def _outside_diameter(plate: PlateTable, problems: list[Problem]) -> float | None:
    if plate.outside_diameter is not None:
        return plate.outside_diameter
    if plate.standard is None:
        problems.append(_missing("plate", "outside_diameter", "", (285,)))
        return None
    pattern = _pattern(plate.standard, "plate.standard", problems)
    if pattern and pattern.outside_diameter is None:
        problems.append(_missing("plate", "outside_diameter", pattern.designation, ()))
    return pattern.outside_diameter if pattern else None


def _circle(table: BoltCircleTable, where: str, problems: list[Problem], surveyed: str) -> BoltCircle | None:
    """The bolt circle of a table, or ``None`` after telling ``problems`` why there is none."""
    before = len(problems)
    pattern = _pattern(table.standard, f"{where}.standard", problems) if table.standard else None
    count = table.hole_count or len(table.angles) or (pattern.hole_count if pattern else None)
    written = table.diameter if isinstance(table.diameter, float) else None
    sizes = {
        "diameter": written or (pattern.bolt_circle if pattern else None),
        "hole_count": count,
    }
    bolt = table.bolt or (pattern.bolt if pattern and pattern.bolt and (table.fit or table.kind != "drilled") else "")
    known = pattern.hole_diameter if pattern else None
    if table.kind not in ("tapped", "jack") and not bolt:
        sizes["hole_diameter"] = table.hole_diameter or known
    if pattern and not pattern.equally_spaced:
        unfit = JobProblem.STANDARD_NO_CIRCLE
        problems.append(Problem(f"{where}.standard", unfit, standard=pattern.designation, note=pattern.note))
    if len(problems) == before:
        lacking = (key for key, value in sizes.items() if not value)
        problems += [_missing(where, key, table.standard or "", _EXAMPLES[key]) for key in lacking]
    if table.angles and (table.placement != "straddle" or table.centerline != "vertical"):
        problems.append(Problem(f"{where}.angles", JobProblem.ANGLES_FIX_EVERY_HOLE))
    if table.angles and table.pair_angle:
        problems.append(Problem(f"{where}.pair_angle", JobProblem.PAIR_ANGLE_BESIDE_ANGLES))
    if len(problems) > before:
        return None
    made = make_holes(table, where, "hole_diameter", table.hole_diameter, known, bolt)
    if not isinstance(made, Made):
        problems += made
        return None
    try:
        return BoltCircle(
            diameter=sizes["diameter"] or math.nan,
            hole_count=int(count or 0),
            placement=Placement(table.placement),
            centerline=Centerline(table.centerline),
            start_angle=table.start_angle,
            skipped=tuple(table.skip),
            angles=tuple(table.angles),
            credit="; ".join(filter(None, (credit(pattern) if pattern else "", surveyed))),
            pair_angle=table.pair_angle or 0.0,
            drilling=made.drilling(
                table.name,
                table.bolt or (pattern.bolt if pattern and pattern.bolt else ""),
                table.mates_with,
                Joint(table.mate_thickness, table.gasket_thickness, table.fastener, table.washers),
                key=where,
            ),
        )
    except GeometryError as wrong:
        if table.pair_angle and not can_pair(int(count or 0), table.pair_angle):
            problems += wrong.placed(f"{where}.pair_angle")
            return None
        key = "angles" if table.angles and len(table.angles) != count else "skip"
        problems += wrong.placed(f"{where}.{key}", Cure.CORRECT_THE_LIST)
        return None


def _missing(table: str, key: str, standard: str, examples: tuple[int | str, ...]) -> Problem:
    """That a key is missing; ``standard`` is the designation that does not give it, if one is named."""
    where = f"{table}.{key}"
    if standard:
        return Problem(where, JobProblem.MISSING_AND_NOT_IN_STANDARD, standard=standard)
    cure = Cure.WRITE_FOR_EXAMPLE_OR_STANDARD if key in _EXAMPLES else Cure.WRITE_FOR_EXAMPLE
    return Problem(where, SchemaProblem.MISSING, cure=cure, key=key, examples=examples)


def _single_hole(table: HoleTable, where: str, problems: list[Problem]) -> SingleHole | None:
    made = make_holes(table, where, "diameter", table.diameter, None, table.bolt)
    if not isinstance(made, Made):
        problems += made
        return None
    drilling = made.drilling(table.name, table.bolt, key=where)
    square, round_ = (table.x, table.y), (table.radius, table.angle)
    if None not in square and round_ == (None, None):
        return SingleHole(Point(table.x or 0.0, table.y or 0.0), drilling)
    if None not in round_ and square == (None, None):
        return SingleHole(polar(table.radius or 0.0, table.angle or 0.0), drilling)
    problems.append(Problem(where, JobProblem.PLACE_MISSING))
    return None
