"""From the written keys to the flange and the settings."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TypedDict

from flangelayout.checks import (
    Finding,
    MeasuredPlate,
    check_cutting,
    check_drill_depth,
    check_paper,
    check_program,
    check_shop,
)
from flangelayout.checks.plate.rules import without_left_out
from flangelayout.drawing.choices import TemplateStyle
from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.papers import PAPER_NAMES, usual_paper
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.errors import GeometryError, InputError, Problem
from flangelayout.flange import (
    BoltCircle,
    Flange,
    Group,
    Outline,
    SingleHole,
)
from flangelayout.flange.claims import is_sealed
from flangelayout.flange.cutting import MachineFile
from flangelayout.flange.joints.pipe import PipeBore
from flangelayout.job.borders import BorderPlaces
from flangelayout.job.build.circles import Found, OwnTables, build_circle, missing, named_row, within_segment
from flangelayout.job.build.cut_and_machine import cut_settings, machine_settings
from flangelayout.job.build.hole_kinds import MadeHole, build_patterns, hole_tables, make_holes
from flangelayout.job.build.limits import build_tolerances, check_limits, inspection_limits, limits_of_nothing
from flangelayout.job.build.mates import NO_MATE_JOBS, MateJob, MatesKnown, build_mates, clocked_freely
from flangelayout.job.build.outlines import build_openings, build_outline, place_of, ring_opening
from flangelayout.job.build.readings import survey_input
from flangelayout.job.build.sheet import bore_problems, sheet_settings
from flangelayout.job.build.template import template_settings
from flangelayout.job.build.turned import build_turned
from flangelayout.job.job import CutSettings, Job, MachineSettings
from flangelayout.job.schema.job_file import BoltCircleTable, HoleTable, JobFile
from flangelayout.job.schema.plate import PlateTable
from flangelayout.problems.checks import CheckProblem
from flangelayout.problems.job import JobProblem
from flangelayout.standards.joints.pipes import pipe_bore
from flangelayout.standards.shop import is_gasket_material
from flangelayout.units import Unit


def build_flange(
    written: JobFile,
    surveyed: Mapping[str, Found],
    own: OwnTables = (),
    mate_jobs: Mapping[str, MateJob] = NO_MATE_JOBS,
    decimals: tuple[tuple[float, int], ...] = (),
) -> Flange:
    """The flange of a job file, its standards looked up.

    Args:
        written: The job file; every bolt circle diameter is missing or a number.
        surveyed: Where a bolt circle comes from, by its key, if from the job's survey.
        own: A shop's own patterns.
        mate_jobs: The jobs that mates name, by the key of the mate.
        decimals: Of inches, that sizes are written with as text; see ``Tolerances``.

    Raises:
        InputError: With every key that is missing, contradicts another or names no standard.
    """
    problems: list[Problem] = []
    tables = tuple(hole_tables(written))
    drillings = [(where, table) for where, table in tables if isinstance(table, BoltCircleTable)]
    circles = [build_circle(table, where, surveyed.get(where), own, problems) for where, table in drillings]
    singles = [_single_hole(table, where, problems) for where, table in tables if isinstance(table, HoleTable)]
    plate, pipe = _fitted(written.plate, problems)
    outline = _outline(plate, drilled := tuple(filter(None, circles)), own, problems)
    patterns, openings = build_patterns(written, problems), build_openings(written.opening, problems)
    turned, ring = build_turned(written.turned, plate, problems), ring_opening(plate)
    known, all_found = MatesKnown(mate_jobs, own), len(drilled) == len(circles)
    mates = build_mates(written.mate, drilled, known, problems) if all_found else ()
    problems += (*_face_problems(plate), *bore_problems(plate), *limits_of_nothing(written))
    if problems or outline is None:
        raise InputError(*problems)
    flange = Flange(
        outline=outline,
        bolt_circles=tuple(within_segment(circle, outline) for circle in drilled),
        single_holes=tuple(hole for hole in singles if hole),
        tolerances=build_tolerances(written.tolerances, decimals, Unit(written.units)),
        patterns=patterns,
        openings=(*((ring,) if ring else ()), *openings),
        turned=turned,
        mates=mates,
        **_of_the_plate(plate, None if ring else pipe, ring is None, (*drilled, *patterns)),
    )
    return clocked_freely(flange, written.mate, check_limits(written, own)) if written.mate else flange


class _PlateFacts(TypedDict):
    bore: float | None
    bore_fit: PipeBore | None
    thickness: float | None
    raised_face_diameter: float | None
    raised_face_height: float
    material: str
    face: str
    bore_chamfer: float
    bore_cut: bool
    density: float | None


def _of_the_plate(plate: PlateTable, pipe: PipeBore | None, has_bore: bool, groups: Sequence[Group]) -> _PlateFacts:
    """What a flange takes from ``[plate]`` as it is written; its face is called by what it is if by nothing."""
    is_gasket = is_gasket_material(plate.material)
    seals = not is_gasket and (plate.raised_face_diameter is not None or is_sealed(groups))
    return _PlateFacts(
        bore=plate.bore_size if has_bore else None,
        bore_fit=pipe,
        thickness=plate.thickness,
        raised_face_diameter=plate.raised_face_diameter,
        raised_face_height=plate.raised_face_height or 0.0,
        material=plate.material,
        face=plate.face or ("gasket face" if seals else "front face"),
        bore_chamfer=plate.bore_chamfer or 0.0,
        bore_cut=plate.bore_cut,
        density=plate.density,
    )


def _fitted(plate: PlateTable, problems: list[Problem]) -> tuple[PlateTable, PipeBore | None]:
    """The plate with its bore in mm, and the pipe that gives it where one is written."""
    if not isinstance(plate.bore, str):
        return plate, None
    try:
        pipe = pipe_bore(plate.bore)
    except InputError as wrong:
        problems += wrong.placed("plate.bore")
        return plate.model_copy(update={"bore": None}), None
    return plate.model_copy(update={"bore": pipe.bore}), pipe


def _face_problems(plate: PlateTable) -> Iterator[Problem]:
    key, height = "plate.raised_face_height", plate.raised_face_height
    if height and not plate.raised_face_diameter:
        yield Problem(key, JobProblem.FACE_HEIGHT_ALONE)
    if height and plate.thickness and height >= plate.thickness:
        yield Problem(key, JobProblem.FACE_HEIGHT_OVER_THICKNESS)


def contradictions(flange: Flange, findings: Iterable[Finding], unit: Unit) -> tuple[Problem, ...]:
    """One problem for each finding that stops a job; none where it is sound."""
    stopping = [finding for finding in findings if finding.stops]
    if not stopping:
        return ()
    from flangelayout.views.words.findings import finding_text

    return tuple(
        Problem(each.place.key, CheckProblem.CONTRADICTION, told=finding_text(flange, each, unit)) for each in stopping
    )


def build_settings(
    written: JobFile,
    plate: MeasuredPlate,
    info: JobInfo,
    digest: str,
    findings: tuple[Finding, ...],
    places: BorderPlaces = BorderPlaces(),
    own: OwnTables = (),
) -> Job:
    """The job round a plate that was found sound.

    Its border is looked for in ``places``, what its circles mate with among the shop's ``own`` patterns as well.

    Raises:
        InputError: With every setting that cannot be.
    """
    unit, flange = Unit(written.units), plate.flange
    paper = usual_paper(unit)
    problems: list[Problem] = []
    cut = cut_settings(written, unit, problems)
    machine = machine_settings(written, flange, unit, problems)
    template = template_settings(written.template, paper, flange, problems)
    sheet = sheet_settings(written.sheet, unit, paper, places, problems)
    if problems or sheet is None:
        raise InputError(*problems)
    limits = check_limits(written, own)
    making = (*_making(flange, cut, machine, info.number), *_on_paper(flange, template))
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
            *check_shop(plate, limits),
            *without_left_out(making, limits.off),
        ),
        survey=survey_input(written, own),
        limits=limits,
        inspection=inspection_limits(flange, unit),
    )


def _on_paper(flange: Flange, template: TemplateSettings) -> tuple[Finding, ...]:
    """What is to be noticed of a template in tiles, before any is made."""
    if template.style is not TemplateStyle.TILES or template.paper not in PAPER_NAMES:
        return ()
    return tuple(check_paper(flange, template.paper, template.margin, template.overlap))


def _making(flange: Flange, cut: CutSettings, machine: MachineSettings, number: str) -> tuple[Finding, ...]:
    """What the checks say of how it is made."""
    return (
        *check_cutting(flange, cut.options, number),
        *check_drill_depth(flange, machine.drilling.depth),
        *(check_program(flange, machine.drilling) if MachineFile.PROGRAM in machine.files else ()),
    )


def _outline(
    plate: PlateTable, circles: tuple[BoltCircle, ...], own: OwnTables, problems: list[Problem]
) -> Outline | None:
    """The plate's outline, or ``None`` after telling ``problems`` why there is none."""
    outside = _outside_diameter(plate, own, problems) if plate.outline == "round" else None
    if outside is not None:
        plate = plate.model_copy(update={"outside_diameter": outside})
    elif plate.outline == "round":
        return None
    return build_outline(plate, circles, problems)


def _outside_diameter(plate: PlateTable, own: OwnTables, problems: list[Problem]) -> float | None:
    if plate.outside_diameter is not None:
        return plate.outside_diameter
    if plate.standard is None:
        problems.append(missing("plate", "outside_diameter", "", (285,)))
        return None
    unknown: list[Problem] = []
    pattern = named_row(plate.standard, "plate.standard", own, unknown)
    told = [(each.kind, each.facts) for each in problems]
    problems += (each for each in unknown if (each.kind, each.facts) not in told)
    if pattern and pattern.outside_diameter is None:
        problems.append(missing("plate", "outside_diameter", pattern.designation, ()))
    return pattern.outside_diameter if pattern else None


def _single_hole(table: HoleTable, where: str, problems: list[Problem]) -> SingleHole | None:
    made = make_holes(table, where, "diameter", table.diameter, None, table.bolt)
    if not isinstance(made, MadeHole):
        problems += made
        return None
    try:
        center, _ = place_of(table)
    except GeometryError as wrong:
        problems += wrong.placed(where)
        return None
    return SingleHole(center, made.drilling(table.name, table.bolt, key=where))
