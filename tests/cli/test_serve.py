"""``flangelayout serve`` as a program."""

import signal
import socket
import subprocess
import sys
import urllib.error
import urllib.request
from pathlib import Path

import pytest

from web.served import free_port, program

SERVE = [sys.executable, "-m", "flangelayout", "serve", "--no-browser"]


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no interrupt signal for one process")
def test_it_answers_under_its_own_address_only_and_stops_cleanly_on_interrupt() -> None:
    with program() as running:
        with urllib.request.urlopen(running.address, timeout=10) as answer:
            assert answer.status == 200
            assert "server" not in answer.headers
        elsewhere = urllib.request.Request(running.address, headers={"Host": "evil.example"})
        with pytest.raises(urllib.error.HTTPError) as refused:
            urllib.request.urlopen(elsewhere, timeout=10)
        assert refused.value.code == 421
        refused.value.close()
        running.process.send_signal(signal.SIGINT)
        assert running.process.wait(timeout=15) == 0
        assert running.process.stdout is not None
        assert "Traceback" not in running.process.stdout.read()


@pytest.mark.slow
def test_a_port_that_is_taken_is_told_in_one_line() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        done = subprocess.run([*SERVE, "--port", port], capture_output=True, text=True, check=False, timeout=60)
    assert done.returncode == 2
    assert done.stderr.startswith(f"flangelayout: --port {port}: cannot be used")
    assert len(done.stderr.splitlines()) == 1


def test_another_port_is_found_where_the_usual_one_is_taken() -> None:
    from flangelayout.web.serving.server import bound

    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        usual = taken.getsockname()[1]
        with bound(None, usual) as found:
            host, port = found.getsockname()
        assert host == "127.0.0.1"
        assert port not in (0, usual)


@pytest.mark.slow
def test_a_jobs_folder_that_cannot_be_used_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    command = [*SERVE, "--port", str(free_port()), "--jobs", str(tmp_path / "file" / "jobs")]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=60)
    assert done.returncode == 2
    assert "--jobs" in done.stderr


def test_listing_the_commands_loads_no_web_library() -> None:
    script = "import sys; from flangelayout.cli import run; run(['--help']); print(sorted(sys.modules))"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True, timeout=60)
    assert "serve" in done.stdout
    assert not {"'starlette'", "'uvicorn'", "'jinja2'"} & set(done.stdout.replace(",", " ").split())
