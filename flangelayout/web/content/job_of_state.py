"""The job a state stands for, or what stands in its way."""

from functools import lru_cache

from msgspec import Struct

from flangelayout.checks import Finding
from flangelayout.errors import FlangeLayoutError, InputError, Problem
from flangelayout.flange import Flange
from flangelayout.job import Job
from flangelayout.job.load import Examined, examine_text
from flangelayout.job.shop import NO_SHOP, Shop
from flangelayout.packet.names import lead_of
from flangelayout.web.form.address_tables import Table
from flangelayout.web.form.limits import too_many_to_check
from flangelayout.web.form.remarks import Remarks
from flangelayout.web.form.state import State, job_tables
from flangelayout.web.form.toml_text import job_text

_UNNAMED = "job"
_FIRST = "A"
"""The revision of a job that names none."""


class Checked(Struct, frozen=True):
    """A checked job, or its problems.

    Attributes:
        tables: Of its job file.
        name: What its job file is called, without the ending.
        job: The job, if it is sound.
        problems: Why it is not.
        flange: What is made, also where it contradicts itself; ``None`` where it cannot be told.
        findings: Of every check that could be run.
        remarks: Of the job file that was opened.
    """

    tables: Table
    name: str = _UNNAMED
    job: Job | None = None
    problems: tuple[Problem, ...] = ()
    flange: Flange | None = None
    findings: tuple[Finding, ...] = ()
    remarks: Remarks = ()


def checked(state: State, shop: Shop = NO_SHOP) -> Checked:
    """The job of a state, checked as the command line checks its file.

    A packet carries its job file: a sound job is read from the text and under the name that its file gets, so
    that a packet drawn from that file is the page's own, byte for byte.
    """
    tables = job_tables(state)
    if refusal := too_many_to_check(tables):
        return Checked(tables, problems=(refusal,))
    named = state.table("job")
    number, revision = str(named.get("number") or ""), str(named.get("revision") or _FIRST)
    name = lead_of(number, revision) if number else _UNNAMED
    try:
        seen = _examined(job_text(tables, remarks=state.remarks), name, shop)
    except FlangeLayoutError as wrong:
        problems = wrong.problems if isinstance(wrong, InputError) else wrong.placed("survey")
        return Checked(tables, problems=problems, remarks=state.remarks)
    called = name if seen.job else _UNNAMED
    return Checked(tables, called, seen.job, seen.problems, seen.flange, seen.findings, state.remarks)


def _examined(text: str, name: str, shop: Shop) -> Examined:
    """What a text describes: the same as before, where nothing but the text can have changed it."""
    return _kept(text, name, shop) if shop.borders is None else examine_text(text, name, shop)


@lru_cache(maxsize=16)
def _kept(text: str, name: str, shop: Shop) -> Examined:
    """The last jobs: a page that is drawn asks for its job with every part, picture and file again."""
    return examine_text(text, name, shop)
