"""The template of the back: holes that are blind from it, where a plate turned over left to right has them."""

from itertools import pairwise

import pytest

from flangelayout.checks import Rule
from flangelayout.drawing.explode import items_box
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Label
from flangelayout.drawing.references import HoleRef
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.shapes import Circle, Point
from flangelayout.job import Job
from flangelayout.packet.job import Part, build_packet, template_page
from flangelayout.views.template.pages import template_faces
from flangelayout.views.words.findings import finding_text
from flangelayout.web.content.cards import file_parts
from jobs import make_job
from readers import pdf_pages_text, svg_circles

BLIND = {"kind": "tapped", "thread": "M20", "depth": 20, "worked_from": "back"}
CORNERS = [{"x": x, "y": y} for x, y in ((-180, -170), (160, -170), (160, 150), (-180, 180))]


def adapter(**plate: object) -> Job:
    """Circle A blind from the back, B blind from the face, C right through, and one hole off the centerlines."""
    circles = [
        {"diameter": 240, "hole_count": 5, "start_angle": 10, **BLIND},
        {"diameter": 120, "hole_count": 4, **BLIND, "thread": "M12", "worked_from": "face"},
        {"diameter": 180, "hole_count": 3, "start_angle": 25, "hole_diameter": 14},
    ]
    keys = {"bore": 60, "thickness": 40} | (plate or {"outside_diameter": 300})
    single = {"x": 20, "y": 130, "kind": "tapped", "thread": "M8", "depth": 12, "worked_from": "back"}
    return make_job(plate=keys, bolt_circle=circles, hole=[single], job={"number": "T-9"})


def test_holes_of_the_back_lie_mirrored_on_a_template_of_their_own() -> None:
    job = adapter()
    packet = build_packet(job, [Part.TEMPLATE])
    assert sorted(packet) == [
        f"T-9-A_template{side}" for side in ("-back_A4.pdf", "-back_mm.svg", "_A4.pdf", "_mm.svg")
    ]
    sheet = template_page(job, PlateFace.BACK).sheets[0]
    view, holes = sheet.views[0], job.flange.holes()
    found = svg_circles(packet["T-9-A_template-back_mm.svg"], sheet.paper.height)
    for hole in holes:
        wanted = (view.at_paper.x - hole.center.x, view.at_paper.y + hole.center.y, hole.diameter / 2)
        assert any(each == pytest.approx(wanted, abs=2e-3) for each in found) == (hole.label[0] != "B"), hole.label
    labels = [item for item in view.drawing.items if isinstance(item.what, Label) and isinstance(item.source, HoleRef)]
    assert labels
    assert all(item.what.rotation_deg % 360 in (0, 90) for item in labels if isinstance(item.what, Label))
    named = {item.source.label for item in labels if isinstance(item.source, HoleRef)}
    assert named == {hole.label for hole in holes if hole.label[0] != "B"}


def test_numbers_of_the_back_run_clockwise_and_the_page_says_so() -> None:
    job = adapter()
    text = pdf_pages_text(build_packet(job, [Part.TEMPLATE])["T-9-A_template-back_A4.pdf"])
    assert "DRILLING TEMPLATE OF THE BACK" in text
    assert text.count("Seen from BACK") == text.count("BACK · ROW") + 1, "on the cover and on every tile"
    assert "numbers clockwise" in text
    assert "counter-clockwise" not in text
    assert "Turn the plate over left to right" in text
    view = template_page(job, PlateFace.BACK).sheets[0].views[0]
    items = [item for item in view.drawing.items if item.layer is Layer.TEMPLATE_HOLES]
    centers = {item.source: item.what.center for item in items if isinstance(item.what, Circle)}
    turns = [Point(0, 0).direction_to(centers[HoleRef(f"A{number}")]) for number in range(1, 6)]
    assert [(one - other) % 360 for one, other in pairwise(turns)] == pytest.approx([72] * 4)


def test_the_front_names_what_is_on_the_back_and_a_plate_without_any_has_one_template() -> None:
    text = pdf_pages_text(build_packet(adapter(), [Part.TEMPLATE])["T-9-A_template_A4.pdf"])
    assert "THEY ARE ON THE TEMPLATE OF THE BACK" in text
    assert template_faces(make_job().flange) == (PlateFace.FACE,)


def test_a_plate_whose_every_hole_is_blind_from_the_back_has_a_template_of_the_back_alone_that_says_so() -> None:
    circle = {"diameter": 240, "hole_count": 5, **BLIND}
    job = make_job(plate={"outside_diameter": 300, "bore": 60, "thickness": 40}, bolt_circle=[circle])
    packet = build_packet(job, [Part.TEMPLATE])
    assert [name.rpartition("_template")[2] for name in packet] == ["-back_A4.pdf", "-back_mm.svg"]
    text = pdf_pages_text(next(iter(packet.values())))
    assert "THE OTHER FACE HAS NO TEMPLATE" in text
    assert "ON THE TEMPLATE OF THE FACE" not in text
    assert template_page(job) == template_page(job, PlateFace.BACK)
    (left,) = [finding for finding in job.findings if finding.rule is Rule.CUT_LEFT]
    assert finding_text(job.flange, left, job.unit).endswith("the template of the back, the only one")
    assert "It is that of the back" in str(file_parts(job))
    assert "THE OTHER FACE HAS NO TEMPLATE" not in pdf_pages_text(
        build_packet(adapter(), [Part.TEMPLATE])["T-9-A_template-back_A4.pdf"]
    )


def test_an_edge_that_is_no_mirror_of_itself_is_turned_over_with_the_holes() -> None:
    job = adapter(outline="path", path=CORNERS)
    box = job.flange.box()
    view = template_page(job, PlateFace.BACK).sheets[0].views[0]
    edges = items_box([item for item in view.drawing.items if item.layer is Layer.TEMPLATE_EDGES])
    assert box.left != -box.right
    assert (edges.left, edges.right) == pytest.approx((-box.right, -box.left))


def test_the_page_says_where_the_template_of_the_back_is() -> None:
    told = [{part.name: part for part in file_parts(job)}["template"] for job in (adapter(), make_job())]
    assert ["of the back" in str(part) for part in told] == [True, False]
