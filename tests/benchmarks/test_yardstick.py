"""A packet against a yardstick that hangs on nothing in the project: what a plain script needs for files of that kind.

python -m pytest tests/benchmarks/test_yardstick.py -s
"""

import resource
import time
import tracemalloc
from collections.abc import Callable, Sequence
from io import BytesIO, StringIO
from pathlib import Path

import ezdxf.filemanagement
import svgwrite
from reportlab.pdfgen.canvas import Canvas

from benchmarks.test_packet_speed import many_holes, process, report
from flangelayout.packet.job import build_packet
from jobs import job_data, make_job, toml_text


def plain_dxf() -> bytes:
    document = ezdxf.filemanagement.new("R2010")
    for number in range(10):
        document.modelspace().add_circle((10 * number, 0), 4)
    stream = StringIO()
    document.write(stream)
    return stream.getvalue().encode()


def plain_svg() -> str:
    document = svgwrite.Drawing(size=("300mm", "300mm"), viewBox="0 0 300 300")
    for number in range(10):
        document.add(document.circle((10 * number, 0), 4))
    text: str = document.tostring()
    return text


def plain_pdf(pages: int, texts: int) -> bytes:
    stream = BytesIO()
    canvas = Canvas(stream, pagesize=(595, 842))
    for page in range(pages):
        for number in range(texts // pages):
            canvas.drawString(50, 800 - 12 * number, f"text {number} of page {page}")
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def yardstick() -> list[bytes | str]:
    """Two DXF and two SVG files of ten circles, a PDF of five pages and one of one, sixty texts in all."""
    return [plain_dxf(), plain_dxf(), plain_svg(), plain_svg(), plain_pdf(5, 30), plain_pdf(1, 30)]


def seconds(task: Callable[[], object]) -> float:
    """Processor time of a task: what else the machine does meanwhile is not counted."""
    start = time.process_time()
    task()
    return time.process_time() - start


def least(tasks: Sequence[Callable[[], object]], times: int) -> list[float]:
    """The least processor time of each task, run by turns."""
    taken = [[seconds(task) for task in tasks] for _ in range(times + 1)]
    return [min(each) for each in zip(*taken[1:], strict=True)]


def test_a_warm_packet_costs_four_plain_scripts_at_most() -> None:
    job = make_job()
    ours, theirs = least([lambda: build_packet(job), yardstick], 25)
    report("warm packet against the yardstick", ours / theirs, "4.0", ours, theirs)
    assert ours / theirs <= 4.0


def test_a_thousand_holes_cost_forty_plain_scripts_and_ten_thousand_eleven_times_that() -> None:
    few, many = many_holes(1_000), many_holes(10_000)
    ours, theirs = least([lambda: build_packet(few), yardstick], 3)
    report("1,000 holes against the yardstick", ours / theirs, "40", ours, theirs)
    more = seconds(lambda: build_packet(many))
    report("10,000 holes against 1,000", more / ours, "11", more, ours)
    assert ours / theirs <= 40
    assert more / ours <= 11


def test_a_hole_takes_four_kilobytes_at_most() -> None:
    """Between two plates, so that what a packet takes however few its holes are is not counted."""
    peaks = []
    build_packet(many_holes(1_000))
    for count in (2_000, 6_000):
        job = many_holes(count)
        tracemalloc.start()
        build_packet(job)
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    each = (peaks[1] - peaks[0]) / 4_000
    report("bytes for a hole", each, "4000")
    assert each <= 4_000


def test_a_whole_draw_costs_less_than_twice_its_libraries(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(toml_text(job_data()))
    draw = process("-m", "flangelayout", "draw", str(tmp_path / "job.toml"), "--into", str(tmp_path / "out"), "--force")
    libraries = process("-c", "import ezdxf, reportlab.pdfgen.canvas, svgwrite, numpy")
    spent: list[list[float]] = [[], []]
    for _ in range(9):
        for times, run in zip(spent, (draw, libraries), strict=True):
            before = resource.getrusage(resource.RUSAGE_CHILDREN)
            run()
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            times.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    ours, theirs = (min(times[1:]) for times in spent)
    report("whole draw against its libraries", ours / theirs, "1.8", ours, theirs)
    assert ours / theirs <= 1.8
