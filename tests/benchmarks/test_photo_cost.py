"""What three photos of twelve million pixels take, from the command to its result, in a process of its own.

python -m pytest -n 0 -s tests/benchmarks/test_photo_cost.py
"""

import subprocess
import sys
from pathlib import Path

import pytest

from benchmarks.test_packet_speed import report
from vision.rendered import jpeg
from vision.scenes import scene

OF_ITSELF = Path("/proc/self/status")
MEASURED = f"""import sys, time
from flangelayout.cli import run
code = run(sys.argv[1:])
status = open("{OF_ITSELF}").read()
print(code, time.process_time(), status.partition("VmHWM:")[2].split()[0])
"""


@pytest.mark.skipif(not OF_ITSELF.exists(), reason="the system does not tell the most memory that a process took")
def test_three_photos_take_under_15_seconds_and_a_gigabyte(tmp_path: Path) -> None:
    at = scene(201)
    photos = [tmp_path / f"P{number}.jpg" for number in (1, 2, 3)]
    for path, gray in zip(photos, at.photos(), strict=True):
        assert gray.size >= 12_000_000
        path.write_bytes(jpeg(gray))
    holes = ("--holes", str(len(at.plate.holes)), "--hole-diameter", f"{at.plate.hole:.1f}")
    arguments = ("photo", *map(str, photos), *holes, "--picture", str(tmp_path / "seen.jpg"))
    told = subprocess.run([sys.executable, "-c", MEASURED, *arguments], check=True, capture_output=True, text=True)
    code, seconds, kilobytes = map(float, told.stdout.splitlines()[-1].split())
    report("three photos, seconds of processor time", seconds, "15")
    report("three photos, megabytes at most", kilobytes / 1e3, "1000")
    assert code == 0
    assert (tmp_path / "seen.jpg").is_file()
    assert seconds <= 15
    assert kilobytes <= 1_000_000
