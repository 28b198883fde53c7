"""TOML to a checked job."""

import hashlib
import json
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from pydantic import ValidationError

from flangelayout.checks import Severity, check_drilling, check_text
from flangelayout.drawing.info import JobInfo
from flangelayout.errors import InputError, Problem
from flangelayout.job.build import build_flange, build_settings
from flangelayout.job.job import Job
from flangelayout.job.lines import key_lines, line_of
from flangelayout.job.problems import problems_of
from flangelayout.job.readings import settle_diameters, survey_input
from flangelayout.job.schema import JobFile
from flangelayout.survey import SurveyInput
from flangelayout.units import Unit

MAX_BYTES = 4_000_000


def load_job(path: str | Path) -> Job:
    """The job of a TOML file.

    Args:
        path: The file. A job without a number takes the file's name as its number.

    Raises:
        InputError: If the file cannot be read, is no TOML or holds anything wrong; it carries every
            problem found, each with its key and, where known, its line.
        SurveyError: If a bolt circle is to come from readings that do not single it out.
    """
    return job_from_text(_read_text(Path(path)), name=Path(path).stem, source=str(path))


def load_survey(path: str | Path) -> SurveyInput | None:
    """The readings of a job file, whatever they and the rest of the job lead to; ``None`` if it has no survey.

    Raises:
        InputError: As :func:`load_job`, for keys and values that cannot be read.
    """
    text = _read_text(Path(path))
    data = _parsed(text, str(path))
    with _placed_in(text, str(path)):
        return survey_input(_validated(data))


def job_from_text(text: str, name: str = "job", source: str = "") -> Job:
    """The job of a TOML text; ``name`` becomes its number if it has none, ``source`` leads the messages.

    Raises:
        InputError: As :func:`load_job`.
        SurveyError: As :func:`load_job`.
    """
    data = _parsed(text, source)
    with _placed_in(text, source):
        return job_from_data(data, name)


def job_from_data(data: dict[str, object], name: str = "job") -> Job:
    """The job of the tables and keys of a job file, as a TOML parser gives them.

    Raises:
        InputError: As :func:`load_job`, without lines.
    """
    written, surveyed = settle_diameters(_validated(data))
    flange = build_flange(written, surveyed)
    findings = (*check_drilling(flange, Unit(written.units)), *check_text(_texts(written)))
    errors = [finding for finding in findings if finding.severity is Severity.ERROR]
    if errors:
        raise InputError(*(Problem(finding.where, finding.text) for finding in errors))
    return build_settings(written, flange, _info(written, name), _digest(data, name), findings)


def _read_text(file: Path) -> str:
    try:
        raw = file.read_bytes()
    except OSError as problem:
        reason = problem.strerror or str(problem)
        raise InputError(Problem(str(file), f"cannot be read ({reason}); check the name and the folder")) from None
    if len(raw) > MAX_BYTES:
        raise InputError(Problem(str(file), f"has {len(raw)} bytes; a job file has at most {MAX_BYTES}"))
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = raw[: problem.start].count(b"\n") + 1
        advice = "is not UTF-8 text; save it as UTF-8 in the editor"
        raise InputError(Problem("", advice, line), source=str(file)) from None


def _parsed(text: str, source: str) -> dict[str, object]:
    try:
        return tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as problem:
        advice = f"is not valid TOML: {problem or 'nested too deeply'}"
        raise InputError(Problem("", advice), source=source) from None


@contextmanager
def _placed_in(text: str, source: str) -> Iterator[None]:
    """Add to every problem raised inside the line of the text that it stands in, and put them in order."""
    try:
        yield
    except InputError as wrong:
        lines = key_lines(text)
        placed = (Problem(p.where, p.text, p.line or line_of(p.where, lines)) for p in wrong.problems)
        in_order = sorted(placed, key=lambda problem: problem.line or 0)
        raise InputError(*in_order, source=source) from None


def _validated(data: dict[str, object]) -> JobFile:
    unit = Unit.IN if data.get("units") == "in" else Unit.MM
    try:
        return JobFile.model_validate(data, context={"unit": unit})
    except ValidationError as wrong:
        raise InputError(*problems_of(wrong, data)) from None


def _info(written: JobFile, name: str) -> JobInfo:
    fields = written.job.model_dump(exclude={"number", "notes"})
    return JobInfo(number=written.job.number or name, notes=tuple(written.job.notes), **fields)


def _digest(data: dict[str, object], name: str) -> str:
    """SHA-256 of the content in one agreed spelling: keys sorted, no spacing, dates as ISO 8601."""
    content = json.dumps([name, data], sort_keys=True, separators=(",", ":"), default=str)
    return hashlib.sha256(content.encode("utf-8", "surrogatepass")).hexdigest()


def _texts(written: JobFile) -> dict[str, str]:
    """Every text that a person wrote and that is printed, by its key."""
    texts = {f"job.{key}": value for key, value in written.job if isinstance(value, str)}
    texts |= {f"job.notes[{index}]": note for index, note in enumerate(written.job.notes, 1)}
    texts |= {f"plate.{key}": value for key, value in written.plate if isinstance(value, str)}
    for table in ("bolt_circle", "hole"):
        for index, entry in enumerate(getattr(written, table), 1):
            texts |= {f"{table}[{index}].{key}": value for key, value in entry if isinstance(value, str)}
    return texts
