"""A job round a flange that was made in Python, with no file behind it."""

import hashlib

from flangelayout.checks import check_drilling, check_text, measured
from flangelayout.drawing.info import JobInfo
from flangelayout.errors import InputError
from flangelayout.flange import Flange
from flangelayout.job.build.flange import build_settings, contradictions
from flangelayout.job.job import Job
from flangelayout.job.schema.job_file import read_tables
from flangelayout.units import Unit


def job_of_flange(flange: Flange, number: str, title: str = "", revision: str = "A", unit: Unit = Unit.MM) -> Job:
    """The job of a flange, everything else as usual; ``replace`` changes what is to be otherwise.

    Args:
        flange: What is made, in mm.
        number: Of the drawing; the files are named after it.
        title: For the title block.
        revision: Of the drawing.
        unit: That its numbers are shown in.

    Raises:
        InputError: If holes and edges contradict each other, with every problem found.
    """
    plate = measured(flange)
    texts = {"job.number": number, "job.title": title, "job.revision": revision}
    findings = (*check_drilling(plate), *check_text(texts))
    wrong = contradictions(flange, findings, unit)
    if wrong:
        raise InputError(*wrong)
    info = JobInfo(number=number, title=title, revision=revision)
    usual = read_tables({"units": unit.value, "plate": {}}, Unit.MM)
    content = repr((number, title, revision, unit, flange)).encode("utf-8", "surrogatepass")
    return build_settings(usual, plate, info, hashlib.sha256(content).hexdigest(), findings)
