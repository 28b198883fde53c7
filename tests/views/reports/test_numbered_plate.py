"""The picture of a form: what stands beside the holes and on the readings can be told apart."""

import math
from itertools import combinations

from flangelayout.drawing.model import Label
from flangelayout.drawing.textwidth import label_box
from flangelayout.job import job_from_data
from flangelayout.packet.reports import form_packet
from flangelayout.views.reports.numbered_plate import NumberedChord, numbered_plate
from readers import pdf_pages_text


def test_no_label_of_a_form_stands_on_another_on_a_reading_or_on_the_rim() -> None:
    """Two circles whose holes' outward sides lie on chords of the other."""
    plate = {"outside_diameter": 320, "bore": 100}
    circles = [
        {"diameter": 280, "hole_count": 8, "hole_diameter": 17.5},
        {"diameter": 215, "hole_count": 4, "kind": "tapped", "thread": "M12", "start_angle": 45},
    ]
    flange = job_from_data({"plate": plate, "bolt_circle": circles}).flange
    holes = flange.holes()
    outer = [hole for hole in holes if hole.group == 0]
    inner = [hole for hole in holes if hole.group == 1]
    pairs = [*zip(outer, [*outer[1:], outer[0]], strict=True), *zip(outer[:4], outer[4:], strict=True)]
    pairs += [*zip(inner, [*inner[1:], inner[0]], strict=True), *zip(inner[:2], inner[2:], strict=True)]
    chords = [NumberedChord(number, *pair) for number, pair in enumerate(pairs, 1)]
    figure = numbered_plate(flange, chords, 180.0, "")
    scale = figure.parts[0].scale
    texts = [item.what for item in figure.parts[0].drawing.items if isinstance(item.what, Label)]
    boxes = [label_box(text, scale) for text in texts]
    assert len(texts) == len(holes) + len(chords)
    for one, other in combinations(range(len(texts)), 2):
        assert not boxes[one].overlaps(boxes[other]), (texts[one].text, texts[other].text)
    for text, box in zip(texts, boxes, strict=True):
        corners = [math.hypot(x, y) for x in (box.left, box.right) for y in (box.bottom, box.top)]
        assert max(corners) < 160 or min(corners) > 160, f"{text.text} stands on the rim"


def test_a_form_speaks_of_what_a_reading_may_be_only_where_limits_are_stated() -> None:
    plate, circle = {"outside_diameter": 285, "bore": 170}, {"diameter": 240, "hole_count": 8, "hole_diameter": 22}
    for tolerances, said in (({}, False), ({"chord": 0.5}, True)):
        job = job_from_data({"plate": plate, "bolt_circle": [circle], "tolerances": tolerances})
        (pdf,) = form_packet(job, "T-1.toml").values()
        text = pdf_pages_text(pdf)
        assert ("below it what it may be" in text) is said
        assert ("outside what it may be" in text) is said
        assert ("far from the size drawn" in text) is not said
