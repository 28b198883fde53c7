"""TOML to a checked job."""

import hashlib
import json
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, assert_never

from msgspec import Struct
from pydantic import ValidationError

from flangelayout.checks import Finding, MeasuredPlate, check_drilling, check_text, measured
from flangelayout.checks.finding import Place, Reason, not_run
from flangelayout.checks.limits import CheckLimits
from flangelayout.checks.plate.readings import check_readings, note_pick, readings_fix_nothing
from flangelayout.checks.plate.rules import without_left_out
from flangelayout.checks.rule import Rule
from flangelayout.drawing.info import JobInfo, Revision
from flangelayout.errors import InputError, Problem, SurveyError
from flangelayout.files.reading import decoded, read_file, read_text
from flangelayout.flange import Flange
from flangelayout.flange.claims import named_rows
from flangelayout.flange.joints import MateSource
from flangelayout.job.borders import BorderPlaces
from flangelayout.job.build.circles import OwnTables
from flangelayout.job.build.decimals import block_doubts, written_decimals
from flangelayout.job.build.doubts import unit_doubts
from flangelayout.job.build.flange import build_flange, build_settings, contradictions
from flangelayout.job.build.limits import check_limits
from flangelayout.job.build.readings import NoCircleRead, ReadCircle, held_against, settle_diameters, survey_input
from flangelayout.job.job import Job
from flangelayout.job.mate_jobs import mate_jobs
from flangelayout.job.parents import check_parent, parent_of
from flangelayout.job.problems import problems_of
from flangelayout.job.schema.job_file import JobFile, read_tables
from flangelayout.job.schema.values import written_unit
from flangelayout.job.shop import NO_SHOP, Shop
from flangelayout.job.toml_lines import key_lines, line_of
from flangelayout.job.toml_slips import toml_tables
from flangelayout.problems.files import FileRole
from flangelayout.standards import find
from flangelayout.survey import SurveyInput
from flangelayout.units import Unit
from flangelayout.value import replace

MAX_BYTES = 4_000_000
_MOST_LEFT_OUT = 100


def load_job(path: str | Path, shop: Shop = NO_SHOP) -> Job:
    """The job of a TOML file.

    Args:
        path: The file. A job without a number takes the file's name as its number. A border named by a path
            is looked for beside it.
        shop: What the shop always writes the same; see :func:`flangelayout.job.shop.load_shop`.

    Raises:
        InputError: If the file cannot be read, is no TOML or holds anything wrong; it carries every
            problem found, each with its key and, where known, its line.
        SurveyError: If a bolt circle is to come from readings that do not single it out.
    """
    file = Path(path)
    raw = read_file(file, MAX_BYTES, FileRole.JOB)
    data = toml_tables(text := decoded(raw, str(file)), str(path))
    shop = shop.beside(file.parent)
    with _placed_in(text, str(path), written_unit(data)):
        job = _job(data, file.stem, shop, BorderPlaces(file.parent, shop.borders))
    return replace(job, source=raw, source_name=file.name)


class Examined(Struct, frozen=True):
    """What the checks say of a job, whether or not it is sound.

    Attributes:
        number: Of the job.
        flange: What it describes.
        unit: The unit it is written in.
        limits: What the shop checks hold it against.
        findings: Of every check, contradictions first; those that could not be run for them say so.
        job: The job itself; ``None`` where a contradiction makes it unsound.
        problems: The contradictions.
    """

    number: str
    flange: Flange
    unit: Unit
    limits: CheckLimits
    findings: tuple[Finding, ...]
    job: Job | None
    problems: tuple[Problem, ...]


def examine_job(path: str | Path, shop: Shop = NO_SHOP) -> Examined:
    """The findings of every check of a job file, contradictions among them.

    Raises:
        InputError: As :func:`load_job`, but not for holes and edges that contradict each other.
        SurveyError: As :func:`load_job`.
    """
    file = Path(path)
    data = toml_tables(text := read_text(file, MAX_BYTES, FileRole.JOB), str(path))
    shop = shop.beside(file.parent)
    with _placed_in(text, str(path), written_unit(data)):
        return _examined(data, file.stem, shop, BorderPlaces(file.parent, shop.borders))


def examine_text(text: str, name: str = "job", shop: Shop = NO_SHOP) -> Examined:
    """As :func:`examine_job`, of a TOML text; ``name`` becomes the job's number if it has none.

    Raises:
        InputError: As :func:`examine_job`, without lines.
        SurveyError: As :func:`load_job`.
    """
    seen = _examined(toml_tables(text, ""), name, shop, BorderPlaces(None, shop.borders))
    return replace(seen, job=seen.job and _with_source(seen.job, text, name))


def _examined(data: dict[str, object], name: str, shop: Shop, places: BorderPlaces) -> Examined:
    built = _built(data, shop, places.job)
    problems = contradictions(built.plate.flange, built.findings, Unit(built.written.units))
    job = None if problems else _sound_job(built, data, name, places, shop)
    findings = job.findings if job else (*built.findings, *_not_reached(built.findings))
    written, limits = built.written, check_limits(built.written, shop.patterns)
    number, unit = written.job.number or name, Unit(written.units)
    return Examined(number, built.plate.flange, unit, limits, findings, job, problems)


def _not_reached(found: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """The checks that a job which contradicts itself was not put to."""
    reached = {finding.rule for finding in found}
    rules = (rule for rule in Rule if rule.is_check and not rule.stops and rule not in reached)
    return tuple(not_run(rule, Place(""), Reason.CONTRADICTION) for rule in rules)


def job_digest(path: Path, shop: Shop = NO_SHOP) -> str:
    """The digest of a job file, whether or not what it describes is sound.

    Raises:
        InputError: If the file cannot be read, or its keys and values cannot.
        SurveyError: As :func:`load_job`.
    """
    data = toml_tables(read_text(path, MAX_BYTES, FileRole.JOB), str(path))
    built = _built(data, shop.beside(path.parent), path.parent)
    return _digest(data, built.written.job.number or path.stem, built.beside)


def load_survey(path: str | Path, shop: Shop = NO_SHOP) -> SurveyInput | None:
    """The readings of a job file, whatever they and the rest of the job lead to; ``None`` if it has no survey.

    Raises:
        InputError: As :func:`load_job`, for keys and values that cannot be read.
    """
    text = read_text(Path(path), MAX_BYTES, FileRole.JOB)
    data = toml_tables(text, str(path))
    own = shop.beside(Path(path).parent).patterns
    with _placed_in(text, str(path), written_unit(data)):
        return survey_input(_validated(data, own), own)


def job_from_text(text: str, name: str = "job", source: str = "", shop: Shop = NO_SHOP) -> Job:
    """The job of a TOML text; ``name`` becomes its number if it has none, ``source`` leads the messages.

    Raises:
        InputError: As :func:`load_job`.
        SurveyError: As :func:`load_job`.
    """
    data = toml_tables(text, source)
    with _placed_in(text, source, written_unit(data)):
        return _with_source(job_from_data(data, name, shop), text, name)


def _with_source(job: Job, text: str, name: str) -> Job:
    return replace(job, source=text.encode("utf-8", "surrogatepass"), source_name=f"{name}.toml")


def job_from_data(data: dict[str, object], name: str = "job", shop: Shop = NO_SHOP, folder: Path | None = None) -> Job:
    """The job of the tables and keys of a job file, as a TOML parser gives them; ``folder`` is where it stands.

    Raises:
        InputError: As :func:`load_job`, without lines.
    """
    return _job(data, name, shop, BorderPlaces(folder, shop.borders))


class _Built(Struct, frozen=True):
    """A job file as it was read, and what was made of it.

    Attributes:
        written: The file.
        plate: Its plate.
        findings: What the first checks say of it.
        beside: What the shop file added, and the digests of the jobs that mates name.
        readings: What readings say of a circle that is not taken from them.
    """

    written: JobFile
    plate: MeasuredPlate
    findings: tuple[Finding, ...]
    beside: dict[str, object]
    readings: ReadCircle | NoCircleRead | None


def _built(data: dict[str, object], shop: Shop, folder: Path | None) -> _Built:
    own = _validated(data, shop.patterns)
    written, surveyed = settle_diameters(shop.fill(own), shop.patterns)
    parent = written.derived.file if written.derived else ""
    mates = mate_jobs(written.mate, folder, shop.patterns, parent)
    decimals = written_decimals(data) if written.tolerances.block else ()
    plate = measured(build_flange(written, surveyed, shop.patterns, mates, decimals))
    found = (*unit_doubts(data, plate.flange), *block_doubts(plate.flange, written_unit(data)))
    doubts = without_left_out(found, tuple(written.checks.off))
    findings = (*check_drilling(plate), *check_text(_texts(written)), *doubts)
    added = shop.added(own) | _own_rows(written, plate.flange, shop.patterns)
    beside = added | {where: mate.digest for where, mate in mates.items() if mate.file != parent}
    readings = held_against(written, plate.flange, surveyed, shop.patterns)
    return _Built(written, plate, findings, beside, readings)


def _own_rows(written: JobFile, flange: Flange, own: OwnTables) -> dict[str, object]:
    """The figures of a shop's own patterns that a job takes, by their names: where their file changes, it changes."""
    by_name = {row.designation: row for table in reversed(own) for row in table.patterns}
    named = {row.designation for circle in flange.bolt_circles for row in named_rows(circle)}
    named |= {mate.called for mate in flange.mates if mate.source is MateSource.ROW}
    if own and written.plate.standard:
        named.add(find(written.plate.standard, own=own).designation)
    figures = {
        name: [row.bolt_circle, row.hole_count, row.hole_diameter, row.outside_diameter, row.bolt]
        for name, row in by_name.items()
        if name in named
    }
    return {"own patterns": figures} if figures else {}


def _job(data: dict[str, object], name: str, shop: Shop, places: BorderPlaces) -> Job:
    seen = _examined(data, name, shop, places)
    if seen.job is None:
        raise InputError(*seen.problems)
    return seen.job


def _sound_job(built: _Built, data: dict[str, object], name: str, places: BorderPlaces, shop: Shop) -> Job:
    info = _info(built.written, name)
    digest = _digest(data, info.number, built.beside)
    told = _read_again(built)
    parent = parent_of(built.written.derived)
    told += check_parent(parent, places.job, lambda path: job_digest(path, shop))
    findings = (*built.findings, *told)
    job = build_settings(built.written, built.plate, info, digest, findings, places, shop.patterns)
    return replace(job, parent=parent)


def _read_again(built: _Built) -> tuple[Finding, ...]:
    """What the readings of a job say of a circle that it writes all the same."""
    match built.readings:
        case None:
            return ()
        case NoCircleRead():
            return without_left_out((readings_fix_nothing(),), tuple(built.written.checks.off))
        case ReadCircle(group, found, named, others):
            told = check_readings(built.plate.flange, group, found)
            return (told, note_pick(built.plate.flange, group, named, others)) if others else (told,)
        case _:
            assert_never(built.readings)


@contextmanager
def _placed_in(text: str, source: str, unit: Unit) -> Iterator[None]:
    """Add to every problem raised inside its line of the text and the unit of its lengths, and put them in order."""
    try:
        yield
    except (InputError, SurveyError) as wrong:
        lines = key_lines(text)
        placed = (p.placed(p.where, p.line or line_of(p.where, lines)).in_unit(unit) for p in wrong.problems)
        in_order = sorted(placed, key=lambda problem: problem.line or 0)
        raise type(wrong)(*in_order, source=source) from None


def _validated(data: dict[str, object], own: OwnTables) -> JobFile:
    unit = written_unit(data)
    try:
        return read_tables(data, unit)
    except ValidationError as wrong:
        told = problems_of(wrong, data)
        raise InputError(*told, *_further_problems(data, wrong, told, own)) from None


def _further_problems(
    data: dict[str, object], wrong: ValidationError, told: tuple[Problem, ...], own: OwnTables
) -> tuple[Problem, ...]:
    """What else is wrong with a file some of whose values cannot be read: found without these values.

    Nothing more is said of a table that holds one of them, nor of how the holes lie where one shapes the plate.
    """
    rest = data
    for error in wrong.errors(include_url=False)[:_MOST_LEFT_OUT]:
        rest = _without(rest, error["loc"])
    tables = {_table_of(problem.where) for problem in told}
    shaping = any(re.match(r"units|plate|bolt_circle|hole|survey", table) for table in tables)
    try:
        written = read_tables(rest, written_unit(rest))
        flange = build_flange(*settle_diameters(written, own), own)
    except InputError as further:
        return tuple(problem for problem in further.problems if _table_of(problem.where) not in tables)
    except (ValidationError, SurveyError):
        return ()
    findings = () if shaping else check_drilling(measured(flange))
    return contradictions(flange, findings, Unit(written.units))


def _without(data: object, location: Sequence[int | str]) -> Any:  # noqa: ANN401 - tables within lists within tables
    """Nested tables without the value at a place; the entries of a list keep their places."""
    step, *further = location
    if isinstance(data, dict) and step in data:
        if not further:
            return {key: value for key, value in data.items() if key != step}
        return data | {step: _without(data[step], further)}
    if isinstance(data, list) and isinstance(step, int) and further and step < len(data):
        return [*data[:step], _without(data[step], further), *data[step + 1 :]]
    return data


def _table_of(where: str) -> str:
    return where.rpartition(".")[0] or where


def _info(written: JobFile, name: str) -> JobInfo:
    fields = written.job.model_dump(exclude={"number", "notes", "revision_history"})
    history = tuple(Revision(each.revision, each.date, each.change, each.by) for each in written.job.revision_history)
    number = written.job.number or name
    return JobInfo(number=number, notes=tuple(written.job.notes), revision_history=history, **fields)


def _digest(data: dict[str, object], number: str, beside: dict[str, object]) -> str:
    """SHA-256 of the content in one agreed spelling: keys sorted, no spacing, dates as ISO 8601."""
    made_from = [number, data, beside] if beside else [number, data]
    content = json.dumps(made_from, sort_keys=True, separators=(",", ":"), default=str)
    return hashlib.sha256(content.encode("utf-8", "surrogatepass")).hexdigest()


def _texts(written: JobFile) -> dict[str, str]:
    """Every text that a person wrote and that is printed, by its key."""
    texts = {f"job.{key}": value for key, value in written.job if isinstance(value, str)}
    texts |= {f"job.notes[{index}]": note for index, note in enumerate(written.job.notes, 1)}
    texts |= {f"plate.{key}": value for key, value in written.plate if isinstance(value, str)}
    for name, tables in written:
        for index, entry in enumerate(tables if isinstance(tables, list) else (), 1):
            texts |= {f"{name}[{index}].{key}": value for key, value in entry if isinstance(value, str)}
    return texts
