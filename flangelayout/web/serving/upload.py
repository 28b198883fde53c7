"""What can be opened on the page, and how it is told apart: one reader for each kind of file."""

from collections.abc import Callable

from flangelayout.errors import InputError
from flangelayout.job.schema.values import written_unit
from flangelayout.job.toml_slips import toml_tables
from flangelayout.problems.page import PageProblem
from flangelayout.value import replace
from flangelayout.web.form.address import write_address
from flangelayout.web.form.address_tables import flatten, unflatten
from flangelayout.web.form.limits import UPLOAD_BYTES
from flangelayout.web.form.remarks import remarks_of
from flangelayout.web.form.state import Stage, State
from flangelayout.web.form.toml_text import OWN_HEAD

Reader = Callable[[bytes], str]
"""Gives the text of the job file in a file of some kind."""


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
    text = reader(content)
    data = toml_tables(text)
    pairs = flatten(data)
    if flatten(unflatten(pairs)) != [(key, text.strip()) for key, text in pairs if text.strip()]:
        raise InputError.of(PageProblem.NESTED_AS_NO_JOB)
    state = State(data={**unflatten(pairs), "units": written_unit(data).value}, step=Stage.FLANGE)
    return write_address(replace(state, remarks=remarks_of(text, OWN_HEAD)))


def _is_list(content: bytes) -> bool:
    """Whether the first line that is no remark is the head of a table of jobs rather than a line of a job file."""
    lines = content.lstrip(b"\xef\xbb\xbf").splitlines()
    first = next((line for line in lines if line.strip() and not line.lstrip().startswith(b"#")), b"")
    return not set(b"=[") & set(first) and any(sign in first for sign in (b",", b";", b"\t"))


def _job_file(content: bytes) -> str:
    try:
        return content.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError:
        raise InputError.of(PageProblem.UPLOAD_NOT_UTF_8) from None


def _drawing(content: bytes) -> str:
    """The job that a layout sheet carries."""
    from flangelayout.files.recover import recover

    return _job_file(recover(content).content)


def _picture(_content: bytes) -> str:
    raise InputError.of(PageProblem.A_PICTURE)


def _list(_content: bytes) -> str:
    raise InputError.of(PageProblem.A_LIST_OF_JOBS)


_READERS: tuple[tuple[bytes, Reader], ...] = ((b"%PDF", _drawing), (b"PK\x03\x04", _list), (b"\x89PNG", _picture))
