"""What can be opened on the page, and how it is told apart: one reader for each kind of file."""

from collections.abc import Callable

from flangelayout.errors import InputError
from flangelayout.job.schema.values import written_unit
from flangelayout.job.toml_slips import toml_tables
from flangelayout.problems.page import PageProblem
from flangelayout.web.form.address import write_address
from flangelayout.web.form.address_tables import Table, flatten, unflatten
from flangelayout.web.form.limits import UPLOAD_BYTES
from flangelayout.web.form.state import Stage, State

Reader = Callable[[bytes], Table]


def opened(content: bytes) -> str:
    """The address of the page with the job of a file on it; the job need not be sound.

    Raises:
        InputError: If the file is of no known kind, cannot be read, or holds more than an address carries.
    """
    if len(content) > UPLOAD_BYTES:
        raise InputError.of(PageProblem.UPLOAD_TOO_LARGE, size=len(content), most=UPLOAD_BYTES)
    reader = next((reader for starts_with, reader in _READERS if content.startswith(starts_with)), _job_file)
    if reader is _job_file and _is_list(content):
        reader = _list
    data = reader(content)
    pairs = flatten(data)
    if flatten(unflatten(pairs)) != [(key, text.strip()) for key, text in pairs if text.strip()]:
        raise InputError.of(PageProblem.NESTED_AS_NO_JOB)
    return write_address(State(data={**unflatten(pairs), "units": written_unit(data).value}, step=Stage.FLANGE))


def _is_list(content: bytes) -> bool:
    """Whether the first line is the head of a table of jobs rather than a line of a job file."""
    first = content.lstrip(b"\xef\xbb\xbf").partition(b"\n")[0]
    return not set(b"=[#") & set(first) and any(sign in first for sign in (b",", b";", b"\t"))


def _job_file(content: bytes) -> Table:
    try:
        return toml_tables(content.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise InputError.of(PageProblem.UPLOAD_NOT_UTF_8) from None


def _drawing(content: bytes) -> Table:
    """The job that a layout sheet carries."""
    from flangelayout.files.recover import recover

    return _job_file(recover(content).content)


def _picture(_content: bytes) -> Table:
    raise InputError.of(PageProblem.A_PICTURE)


def _list(_content: bytes) -> Table:
    raise InputError.of(PageProblem.A_LIST_OF_JOBS)


_READERS: tuple[tuple[bytes, Reader], ...] = ((b"%PDF", _drawing), (b"PK\x03\x04", _list), (b"\x89PNG", _picture))
