"""A packet against a yardstick that hangs on nothing in the project: what a plain script needs for files of that kind.

python -m pytest tests/benchmarks/test_yardstick.py -s
"""

from io import BytesIO, StringIO

import ezdxf.filemanagement
import svgwrite
from reportlab.pdfgen.canvas import Canvas

from benchmarks.test_packet_speed import medians, report
from flangelayout.packet.job import build_packet
from jobs import make_job

_MOST = 4.0


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


def test_a_warm_packet_costs_four_plain_scripts_at_most() -> None:
    job = make_job()
    ours, theirs = medians([lambda: build_packet(job), yardstick], 25)
    report("warm packet against the yardstick", ours / theirs, str(_MOST), ours, theirs)
    assert ours / theirs <= _MOST
