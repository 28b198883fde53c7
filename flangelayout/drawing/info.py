"""What the title block says."""

from msgspec import Struct


class Revision(Struct, frozen=True):
    """One line of the revision table; texts of one line each."""

    revision: str
    date: str
    change: str
    by: str


class JobInfo(Struct, frozen=True):
    """The fields of ISO 7200 that a job fills, and the shop's own; texts of one line each."""

    number: str
    title: str = ""
    revision: str = "A"
    owner: str = ""
    customer: str = ""
    drawn_by: str = ""
    approved_by: str = ""
    date: str = ""
    status: str = ""
    quantity: int = 1
    notes: tuple[str, ...] = ()
    revision_history: tuple[Revision, ...] = ()
