"""The readings of a call as a new job file."""

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any

from flangelayout.batch.written import with_written
from flangelayout.errors import OutputError
from flangelayout.files.whole import write_whole
from flangelayout.job.schema.values import MEASURED, NEAREST_STANDARD
from flangelayout.survey import Assumptions, Kind, Survey, SurveyInput
from flangelayout.survey.candidates import Verdict
from flangelayout.survey.fitting.fit import Estimate
from flangelayout.units import Unit, from_mm
from flangelayout.web.form.remarks import BESIDE
from flangelayout.web.form.toml_text import job_text

NO_KEYS: Mapping[str, Any] = MappingProxyType({})
_HEAD = "# Readings kept by flangelayout; make the packet with: flangelayout draw THIS_FILE"


def check_new(path: Path) -> None:
    """Nothing, if no file is where a new job is to be written.

    Raises:
        OutputError: If one is.
    """
    if path.exists():
        raise OutputError(f"{path}: is already there; name another file after --save")


def save_job(path: Path, taken: SurveyInput, survey: Survey, unit: Unit, more: Mapping[str, Any] = NO_KEYS) -> str:
    """Write the job file and say what is still to be done; a file that is there stays.

    Readings that were set aside are kept as such. The circle is taken from the others: as the nearest standard where
    they single one out, else as measured.

    Args:
        path: Of the new file.
        taken: The readings and what is believed of the part.
        survey: What they say.
        unit: Of the job.
        more: What else it is to hold; that wins.

    Raises:
        OutputError: If the file is there already or cannot be written.
    """
    check_new(path)
    tables = _with_more(_tables(path.stem, taken, survey, unit), more)
    missing, remarks = [], []
    if not {"outside_diameter", "standard", "outline"} & set(tables["plate"]):
        missing.append("outside diameter")
        remarks.append((f"plate{BESIDE}", "outside_diameter was not read: to be filled in"))
    if not _hole_published(survey) and not {"hole_diameter", "bolt", "standard"} & set(tables["bolt_circle"][0]):
        missing.append("hole diameter")
        remarks.append((f"bolt_circle.1{BESIDE}", "hole_diameter, as it is to be drilled, to be filled in"))
    try:
        write_whole(path, job_text(tables, _HEAD, tuple(remarks)).encode())
    except OSError as problem:
        raise OutputError(f"{path}: cannot be written ({problem.strerror or problem}); name another folder") from None
    first = f"fill in its {' and its '.join(missing)}, then: " if missing else ""
    if survey.verdict is Verdict.SEVERAL and "standard" not in tables["bolt_circle"][0]:
        first = f"which drilling it is is not decided: measure on, or name its standard; {first}"
    return f"wrote {path}; {first}flangelayout draw {path}"


def _hole_published(survey: Survey) -> bool:
    """Whether the rows that the circle may be taken from say what hole to drill."""
    return any(each.pattern.hole_diameter is not None for each in survey.ties)


def _tables(number: str, taken: SurveyInput, survey: Survey, unit: Unit) -> dict[str, Any]:
    """The tables of the job, lengths in its unit."""
    fit, assume = survey.fit, taken.assume
    sizes = {
        "outside_diameter": _as_read(survey, Kind.OUTSIDE_DIAMETER, fit.outside),
        "bore": _as_read(survey, Kind.BORE, fit.bore),
    }
    believed: dict[str, object] = {"hole_count": fit.hole_count}
    believed |= {"home_made": assume.home_made} if assume.home_made != Assumptions().home_made else {}
    believed |= {"family": assume.family.value} if assume.family else {}
    if taken.drilling_tolerance is not None:
        believed["drilling_tolerance"] = _length(taken.drilling_tolerance, unit)
    scales = [each.scale for each in survey.readings if each.scale is not None]
    readings = [_reading(survey, index, unit) for index in range(len(survey.readings))]
    believed |= {"scale_within": round(100 * max(scale.within for scale in scales), 6)} if scales else {}
    published = survey.verdict in (Verdict.ONE, Verdict.SEVERAL)
    circle: dict[str, object] = {"diameter": NEAREST_STANDARD if published else MEASURED, "hole_count": fit.hole_count}
    hole = None if _hole_published(survey) else _as_read(survey, Kind.HOLE_DIAMETER, None)
    circle |= {} if hole is None else {"hole_diameter": _length(hole, unit)}
    return {
        "units": unit.value,
        "job": {"number": number},
        "plate": {key: _length(size, unit) for key, size in sizes.items() if size is not None},
        "bolt_circle": [circle],
        "survey": believed | {"reading": readings},
    }


def _with_more(tables: dict[str, Any], more: Mapping[str, Any]) -> dict[str, Any]:
    """The tables with what else is said; a standard that is named takes the place of the circle that was read."""
    said = more.get("bolt_circle", [{}])[0]
    if "standard" in said:
        tables = tables | {"bolt_circle": [{}]}
    return with_written(tables, more)


def _as_read(survey: Survey, kind: Kind, fitted: Estimate | None) -> float | None:
    """A size in mm as the caliper gave it where it was read, once or more, else as all readings make it."""
    kept = (each for index, each in enumerate(survey.readings) if index not in survey.set_aside)
    read = [each.value for each in kept if each.kind is kind]
    return sum(read) / len(read) if read else fitted.value if fitted else None


def _reading(survey: Survey, index: int, unit: Unit) -> dict[str, object]:
    reading = survey.readings[index]
    row: dict[str, object] = {"kind": reading.kind.value, "value": _length(reading.value, unit)}
    between = {"from": reading.from_hole, "to": reading.to_hole, "pitches": reading.pitches}
    row |= {key: number for key, number in between.items() if number is not None}
    row |= {} if reading.within is None else {"within": _length(reading.within, unit)}
    row |= {} if reading.scale is None else {"scale": reading.scale.name}
    row |= {"set_aside": True} if index in survey.set_aside else {}
    return row | ({"shared": [_length(each, unit) for each in reading.shared]} if reading.shared else {})


def _length(length: float, unit: Unit) -> float:
    return round(from_mm(length, unit), 6)
