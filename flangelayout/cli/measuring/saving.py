"""The readings of a call as a new job file."""

from pathlib import Path

from flangelayout.errors import OutputError
from flangelayout.files.whole import write_whole
from flangelayout.job.schema.values import MEASURED
from flangelayout.survey import Assumptions, Reading, Survey, SurveyInput
from flangelayout.survey.candidates import Verdict
from flangelayout.units import Unit, from_mm
from flangelayout.web.form.toml_text import job_text

_HEAD = "# Readings kept by flangelayout; make the packet with: flangelayout draw THIS_FILE"
_RIM_MISSING = "# outside_diameter =   (not read: to be filled in)"
_HOLE_MISSING = "# hole_diameter =   (what is to be drilled: to be filled in)"


def save_job(path: Path, taken: SurveyInput, survey: Survey, unit: Unit) -> str:
    """Write the job file and say what is still to be done; a file that is there stays.

    The circle is taken from the readings: as the nearest standard where they single one out, else as measured.

    Args:
        path: Of the new file.
        taken: The readings and what is believed of the part.
        survey: What they say.
        unit: Of the job.

    Raises:
        OutputError: If the file is there already or cannot be written.
    """
    if path.exists():
        raise OutputError(f"{path}: is already there; name another file after --save")
    text = job_text(_tables(path.stem, taken, survey, unit), _HEAD)
    missing = []
    if survey.fit.outside is None:
        missing.append("outside diameter")
        text = text.replace("[plate]\n", f"[plate]\n{_RIM_MISSING}\n")
    if survey.verdict is not Verdict.ONE:
        missing.append("hole diameter")
        text = text.replace("[[bolt_circle]]\n", f"[[bolt_circle]]\n{_HOLE_MISSING}\n")
    try:
        write_whole(path, text.encode())
    except OSError as problem:
        raise OutputError(f"{path}: cannot be written ({problem.strerror or problem}); name another folder") from None
    first = f"fill in its {' and its '.join(missing)}, then: " if missing else ""
    return f"wrote {path}; {first}flangelayout draw {path}"


def _tables(number: str, taken: SurveyInput, survey: Survey, unit: Unit) -> dict[str, object]:
    """The tables of the job, lengths in its unit."""
    fit, assume = survey.fit, taken.assume
    sizes = {"outside_diameter": fit.outside, "bore": fit.bore}
    believed: dict[str, object] = {"hole_count": fit.hole_count}
    believed |= {"home_made": assume.home_made} if assume.home_made != Assumptions().home_made else {}
    believed |= {"family": assume.family.value} if assume.family else {}
    if taken.drilling_tolerance is not None:
        believed["drilling_tolerance"] = _length(taken.drilling_tolerance, unit)
    scales = [each.scale for each in survey.readings if each.scale is not None]
    believed |= {"scale_within": round(100 * max(scale.within for scale in scales), 6)} if scales else {}
    diameter = "nearest standard" if survey.verdict is Verdict.ONE else MEASURED
    return {
        "units": unit.value,
        "job": {"number": number},
        "plate": {key: _length(size.value, unit) for key, size in sizes.items() if size is not None},
        "bolt_circle": [{"diameter": diameter, "hole_count": fit.hole_count}],
        "survey": believed | {"reading": [_reading(each, unit) for each in survey.readings]},
    }


def _reading(reading: Reading, unit: Unit) -> dict[str, object]:
    row: dict[str, object] = {"kind": reading.kind.value, "value": _length(reading.value, unit)}
    between = {"from": reading.from_hole, "to": reading.to_hole, "pitches": reading.pitches}
    row |= {key: number for key, number in between.items() if number is not None}
    row |= {} if reading.within is None else {"within": _length(reading.within, unit)}
    row |= {} if reading.scale is None else {"scale": reading.scale.name}
    return row | ({"shared": [_length(each, unit) for each in reading.shared]} if reading.shared else {})


def _length(length: float, unit: Unit) -> float:
    return round(from_mm(length, unit), 6)
