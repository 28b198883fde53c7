"""The job that a part was derived from, held against what it was then."""

from collections.abc import Callable
from pathlib import Path

from flangelayout.checks.finding import Finding, Place, Reason, Remedy, Result, not_run
from flangelayout.checks.joint_facts import DerivedFrom
from flangelayout.checks.rule import Rule
from flangelayout.errors import FlangeLayoutError
from flangelayout.flange.joints.derived import Parent
from flangelayout.job.schema.job_file import DerivedTable

_PLACE = Place("derived.digest")


def parent_of(table: DerivedTable | None) -> Parent | None:
    """What a job says of the part it was derived from."""
    if table is None:
        return None
    return Parent(table.part, table.parent, table.revision, table.file, table.digest)


def check_parent(parent: Parent | None, folder: Path | None, digest_of: Callable[[Path], str]) -> tuple[Finding, ...]:
    """Whether the part that this one was derived from is as it was then; nothing where it was derived from none.

    Args:
        parent: As it was then.
        folder: Of the job file; ``None`` for a job that is in no file.
        digest_of: The digest of a job file, as it is.
    """
    if parent is None:
        return ()
    if folder is None:
        return (not_run(Rule.PARENT, _PLACE, Reason.PARENT),)
    try:
        now = digest_of(folder / parent.file)
    except FlangeLayoutError:
        return (not_run(Rule.PARENT, _PLACE, Reason.PARENT),)
    result, cure = (Result.PASSED, None) if now == parent.digest else (Result.FAILED, Remedy.DERIVE_AGAIN)
    return (Finding(Rule.PARENT, result, _PLACE, DerivedFrom(parent), cure=cure),)
