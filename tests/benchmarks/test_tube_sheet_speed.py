"""What a plate of thousands of holes costs against the bare libraries, and how memory grows; outside the default run.

python -m pytest tests/benchmarks/test_tube_sheet_speed.py -s
"""

import math
import sys
import tracemalloc

from benchmarks import bare
from benchmarks.recorded import record
from benchmarks.test_packet_speed import medians, report
from flangelayout.job import Job
from flangelayout.packet.job import build_packet
from jobs import make_job

PITCH = 25.0


def tube_sheet(count: int) -> Job:
    """A staggered grid of about ``count`` holes in a round plate with a bolt circle."""
    within = 2 * math.sqrt(count * PITCH**2 * math.sqrt(3) / 2 / math.pi) + PITCH
    columns = math.ceil(within / PITCH) + 2
    rows = math.ceil(within / PITCH * 1.2) | 1
    grid = {"hole_diameter": 19.25, "layout": "staggered", "pitch": PITCH, "columns": columns, "rows": rows}
    circle = {"diameter": within * 1.12, "hole_count": 60, "hole_diameter": 22}
    return make_job(
        plate={"outside_diameter": within * 1.2, "thickness": 60},
        bolt_circle=[circle],
        hole_grid=[{**grid, "within_diameter": within}],
    )


def test_five_thousand_holes_cost_little_more_than_the_bare_libraries() -> None:
    job = tube_sheet(5000)
    assert len(job.flange.holes()) >= 5000
    data = record(job)
    ours, theirs = medians([lambda: build_packet(job), lambda: bare.packet(data)], 3)
    report(f"{len(job.flange.holes())} holes against bare libraries", ours / theirs, "2.5", ours, theirs)
    assert ours / theirs <= 2.5


def test_memory_grows_with_the_holes_and_no_faster() -> None:
    peaks = []
    build_packet(tube_sheet(400))
    for count in (1250, 2500, 5000):
        job = tube_sheet(count)
        tracemalloc.start()
        build_packet(job)
        peaks.append(tracemalloc.get_traced_memory()[1] / len(job.flange.holes()))
        tracemalloc.stop()
    sys.stdout.write("\nkilobytes for each hole of 1250, 2500 and 5000: " + ", ".join(f"{p / 1000:.1f}" for p in peaks))
    assert peaks[2] <= 1.25 * peaks[0]
