"""The job a state stands for, or what stands in its way."""

from dataclasses import dataclass

from flangelayout.errors import FlangeLayoutError, InputError, Problem
from flangelayout.job import Job, job_from_data, job_from_text
from flangelayout.job.shop import NO_SHOP, Shop
from flangelayout.packet.names import file_lead
from flangelayout.web.form.address_tables import Table
from flangelayout.web.form.limits import too_many_to_check
from flangelayout.web.form.state import State, job_tables
from flangelayout.web.form.toml_text import job_text

_UNNAMED = "job"


@dataclass(frozen=True, slots=True)
class Checked:
    """A checked job, or its problems.

    Attributes:
        tables: Of its job file.
        name: What its job file is called, without the ending.
        job: The job, if it is sound.
        problems: Why it is not.
    """

    tables: Table
    name: str = _UNNAMED
    job: Job | None = None
    problems: tuple[Problem, ...] = ()


def checked(state: State, shop: Shop = NO_SHOP) -> Checked:
    """The job of a state, checked as the command line checks its file.

    A packet carries its job file: a sound job is read from the text and under the name that its file gets, so
    that a packet drawn from that file is the page's own, byte for byte.
    """
    tables = job_tables(state)
    if refusal := too_many_to_check(tables):
        return Checked(tables, problems=(refusal,))
    try:
        first = job_from_data(tables, _UNNAMED, shop)
        name = file_lead(first) if state.table("job").get("number") else _UNNAMED
        return Checked(tables, name, job_from_text(job_text(tables), name, shop=shop))
    except InputError as wrong:
        return Checked(tables, problems=wrong.problems)
    except FlangeLayoutError as wrong:
        return Checked(tables, problems=wrong.placed("survey"))
