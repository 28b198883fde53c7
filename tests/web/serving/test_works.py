"""What takes long ends when nobody waits for it, and says how far it is meanwhile."""

import socket
import time
from pathlib import Path
from urllib.request import urlopen

import pytest

from web.served import Client, Program, need, program, query

RUN = "0123456789abcdef"
MANY = {
    "plate.outside_diameter": "2000",
    "plate.thickness": "30",
    "job.number": "T-1",
    "hole_grid.1.columns": "50",
    "hole_grid.1.rows": "50",
    "hole_grid.1.pitch": "25",
    "hole_grid.1.hole_diameter": "16",
}
"""2,500 holes: some seconds of one core."""


def children(running: Program) -> int:
    """How many processes a page has begun that still run."""
    path = Path(f"/proc/{running.process.pid}/task/{running.process.pid}/children")
    need(path.exists(), "a system that lists the children of a process")
    found = path.read_text(encoding="ascii").split()
    named = (Path(f"/proc/{each}/cmdline") for each in found)
    return sum(b"spawn_main" in each.read_bytes() for each in named if each.exists())


def waited(found: object, wanted: object, seconds: float) -> bool:
    """Whether something comes to be within a time."""
    assert callable(found)
    deadline = time.monotonic() + seconds
    while found() != wanted:
        if time.monotonic() > deadline:
            return False
        time.sleep(0.02)
    return True


@pytest.mark.slow
@pytest.mark.parametrize("path", ["/packet.zip", "/view"])
def test_a_work_ends_within_a_second_of_the_stop(path: str) -> None:
    with program() as running:
        port = int(running.address.rsplit(":", 1)[1].strip("/"))
        with socket.create_connection(("127.0.0.1", port)) as asked:
            target = f"{path}?{query(MANY, view='template')}"
            asked.sendall(f"GET {target} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nRun: {RUN}\r\n\r\n".encode())
            assert waited(lambda: children(running), 1, 20.0)
            assert waited(lambda: bool(urlopen(f"{running.address}progress/{RUN}").read()), True, 20.0)
            assert children(running) == 1
        assert waited(lambda: children(running), 0, 1.0)
        assert urlopen(f"{running.address}progress/{RUN}").read() == b""


def test_nothing_is_told_of_a_work_that_nobody_began(asking: Client) -> None:
    for run in (RUN, "x", "..", "<b>"):
        answer = asking.get(f"/progress/{run}")
        assert answer.content == b""


@pytest.mark.slow
def test_what_a_work_refuses_is_told_as_of_any_other(asking: Client) -> None:
    """A template in one sheet larger than a PDF page can be (14,400 pt, ISO 32000-1 annex C)."""
    large = query({**MANY, "plate.outside_diameter": "6000", "template.paper": "one sheet"})
    answer = asking.get(f"/packet.zip?{large}")
    assert answer.status == 400
    assert "a PDF page" in answer.text
