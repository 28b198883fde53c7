"""The picture of a form: what stands beside the holes and on the readings can be told apart."""

import math
import re
from itertools import combinations

from shapely import LineString
from shapely import box as rectangle_of

from flangelayout.drawing.model import Label
from flangelayout.drawing.textwidth import label_box
from flangelayout.geometry.shapes import Line
from flangelayout.job.load import job_from_data
from flangelayout.packet.reports import form_packet
from flangelayout.views.reports.flow import FlowedItems
from flangelayout.views.reports.pictures.numbered_plate import NumberedChord, numbered_plate
from readers import pdf_pages_text
from rows import every_row


def test_each_circle_of_a_form_has_its_picture_and_none_has_a_text_on_a_text_a_reading_or_the_rim() -> None:
    """Two circles whose holes' outward sides lie on chords of the other; all readings, then those of one circle."""
    plate = {"outside_diameter": 320, "bore": 100}
    circles = [
        {"diameter": 280, "hole_count": 8, "hole_diameter": 17.5},
        {"diameter": 215, "hole_count": 4, "kind": "tapped", "thread": "M12", "start_angle": 45},
    ]
    flange = job_from_data({"plate": plate, "bolt_circle": circles}).flange
    outer, inner = ([hole for hole in flange.holes() if hole.group == group] for group in (0, 1))
    pairs = [*zip(outer, [*outer[1:], outer[0]], strict=True), *zip(outer[:4], outer[4:], strict=True)]
    pairs += [(outer[0], outer[3]), (outer[2], outer[5])]
    own = [NumberedChord(number, *pair) for number, pair in enumerate(pairs, 1)]
    pairs = [*zip(inner, [*inner[1:], inner[0]], strict=True), *zip(inner[:2], inner[2:], strict=True)]
    others = [NumberedChord(number, *pair) for number, pair in enumerate(pairs, 20)]
    pictures = numbered_plate(flange, [*own, *others], 180.0, "").parts
    for picture, holes, chords in zip(pictures[:2], (outer, inner), (own, others), strict=True):
        numbers = {str(each.number) for each in chords}
        texts = texts_apart(picture)
        assert {text.text for text in texts} >= {hole.label for hole in holes} | numbers
        assert len(texts) == len(holes) + len(chords) + 1
    for text in texts_apart(numbered_plate(flange, own, 180.0, "").parts[0]):
        box = label_box(text, numbered_plate(flange, own, 180.0, "").parts[0].scale)
        corners = [math.hypot(x, y) for x in (box.left, box.right) for y in (box.bottom, box.top)]
        assert max(corners) < 160 or min(corners) > 160, f"{text.text} stands on the rim"


def test_the_lowest_number_of_a_picture_keeps_off_what_stands_below_it() -> None:
    """By a line's half at least: two circles whose lowest holes have their numbers below them, and the caption."""
    circles = [{"diameter": size, "hole_count": 2, "hole_diameter": 9, "start_angle": 90} for size in (240, 180)]
    flange = job_from_data({"plate": {"outside_diameter": 285}, "bolt_circle": circles}).flange
    holes = flange.holes()
    chords = [NumberedChord(number, *pair) for number, pair in enumerate(zip(holes[::2], holes[1::2], strict=True))]
    *pictures, caption = numbered_plate(flange, chords, 180.0, "seen").parts
    (told,) = (label_box(item.what, 1.0) for item in caption.drawing.items if isinstance(item.what, Label))
    for picture in pictures:
        for text in texts_apart(picture):
            bottom = picture.at_paper.y + label_box(text, picture.scale).bottom * picture.scale
            assert bottom > told.top + 1.25, text.text


@every_row("count", [16, 32, 40, 60])
def test_what_has_no_room_on_a_crowded_circle_is_left_out_and_counted(count: int) -> None:
    circle = {"diameter": 965, "hole_count": count, "hole_diameter": 24}
    flange = job_from_data({"plate": {"outside_diameter": 1015, "bore": 813}, "bolt_circle": [circle]}).flange
    holes = flange.holes()
    pairs = [(hole, holes[at + count // 2]) for at, hole in enumerate(holes[: count // 2])]
    pairs += zip(holes, [*holes[1:], holes[0]], strict=True)
    chords = [NumberedChord(number, *pair, marked=number == len(pairs)) for number, pair in enumerate(pairs, 101)]
    picture, told = numbered_plate(flange, chords, 180.0, "seen").parts
    texts = texts_apart(picture)
    numbers = {text.text for text in texts} & {str(each.number) for each in chords}
    across = {str(each.number) for each in chords[: count // 2]} & numbers
    assert len(across) <= 16, "more are a star that nobody follows"
    if count >= 40:
        assert sorted(map(int, across)) == [101 + index * (count // 2) // 12 for index in range(12)]
    assert numbers >= {str(each.number) for each in chords if each.marked}
    said = [item.what.text for item in told.drawing.items if isinstance(item.what, Label)]
    assert any(f"no room here for {len(pairs) - len(numbers)} reading" in text for text in said) is (
        len(numbers) < len(pairs)
    )
    labels = [hole.label for hole in holes if hole.label in {text.text for text in texts}]
    step = holes.index(next(hole for hole in holes if hole.label == labels[1]))
    assert labels == [hole.label for hole in holes[::step]]
    assert any("count on between" in text for text in said) is (step > 1)


def texts_apart(picture: FlowedItems) -> list[Label]:
    """The texts of a picture, none of which stands on another or on a line."""
    texts = [item.what for item in picture.drawing.items if isinstance(item.what, Label)]
    boxes = [label_box(text, picture.scale) for text in texts]
    for one, other in combinations(range(len(texts)), 2):
        assert not boxes[one].overlaps(boxes[other]), (texts[one].text, texts[other].text)
    lines = [item.what for item in picture.drawing.items if isinstance(item.what, Line)]
    for text, box in zip(texts, boxes, strict=True):
        for line in lines if text.text.isdigit() else ():
            way = LineString([(line.start.x, line.start.y), (line.end.x, line.end.y)])
            assert not way.intersects(rectangle_of(box.left, box.bottom, box.right, box.top)), text.text
    return texts


def test_a_form_speaks_of_what_a_reading_may_be_only_where_limits_are_stated() -> None:
    plate, circle = {"outside_diameter": 285, "bore": 170}, {"diameter": 240, "hole_count": 8, "hole_diameter": 22}
    for tolerances, said in (({}, False), ({"chord": 0.5}, True)):
        job = job_from_data({"plate": plate, "bolt_circle": [circle], "tolerances": tolerances})
        (pdf,) = form_packet(job, "T-1.toml").values()
        text = pdf_pages_text(pdf)
        assert ("below it what it may be" in text) is said
        assert ("outside what it may be" in text) is said
        assert ("far from the size drawn" in text) is not said


def test_the_number_of_a_box_stands_clear_of_what_is_measured_even_where_it_has_three_figures() -> None:
    circle = {"diameter": 965, "hole_count": 60, "hole_diameter": 24}
    job = job_from_data({"plate": {"outside_diameter": 1015, "bore": 813}, "bolt_circle": [circle]})
    (data,) = form_packet(job, "T-1.toml").values()
    text = pdf_pages_text(data)
    assert re.search(r"\b105 \d+ - \d+\b", text)
    assert not re.search(r"\b\d{4,} - \d+\b", text)
