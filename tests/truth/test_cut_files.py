"""What the table would cut, read from the DXF by another program: nothing pierced, cut or marked that is not meant."""

import math
from pathlib import Path

import pytest
import shapely
from ezdxf import path as dxf_path

from readers import dxf_document
from truth.outside import Ran, command, draw, says

HEAD = 'units = "mm"\n[job]\nnumber = "MB-230"\n'


def split(more: str = "", cut: str = "", parts: int = 2, outside: float = 400, inside: float = 240) -> str:
    return (
        f'{HEAD}[plate]\noutline = "split"\noutside_diameter = {outside}\ninside_diameter = {inside}\n'
        f"part_count = {parts}\nthickness = 10\n{more}\n[[bolt_circle]]\ndiameter = {(outside + inside) / 2}\n"
        f"hole_count = {4 * parts}\nhole_diameter = 18\n[cut]\n{cut}\n"
    )


def cut(folder: Path, text: str) -> Ran:
    return draw(folder, text, "--only", "cut")


def drawing(ran: Ran, layer: str) -> list[shapely.LineString]:
    """Every shape on a layer, arcs as chords of 0.01 mm."""
    (data,) = (content for name, content in ran.files.items() if name.endswith(".dxf"))
    shapes = []
    for entity in dxf_document(data).modelspace():
        if entity.dxf.layer == layer and entity.dxftype() in ("LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE"):
            flat = [(v.x, v.y) for v in dxf_path.make_path(entity).flattening(0.01)]
            shapes.append(shapely.LineString(flat))
    return shapes


def outlines(ran: Ran) -> list[shapely.Polygon]:
    return [shapely.Polygon(line) for line in drawing(ran, "CUT_OUTLINE")]


def refused(ran: Ran, *numbers: str) -> None:
    assert ran.code in (1, 2)
    assert not ran.files
    assert says(ran.err, *numbers), ran.err


@pytest.mark.slow
def test_a_pierce_keeps_out_of_the_neighboring_part(tmp_path: Path) -> None:
    plate = split("gap = 6", "kerf = 1.5", parts=12, outside=1000, inside=300)
    plain, led = tmp_path / "plain", tmp_path / "led"
    plain.mkdir()
    led.mkdir()
    parts = outlines(cut(plain, plate))
    assert len(parts) == 12
    ran = cut(led, plate.replace("kerf = 1.5", "kerf = 1.5\nlead_in = 8"))
    if ran.code:
        refused(ran, "6")
        return
    ways = drawing(ran, "CUT_OUTLINE")
    assert len(ways) == 12
    for number, way in enumerate(ways):
        pierce = shapely.Point(way.coords[0])
        assert not any(part.contains(pierce) for part in parts), "pierced in a part"
        for other in ways[number + 1 :]:
            assert way.distance(other) > 1.5 - 0.02, "nearer to a neighbor than the kerf"


@pytest.mark.parametrize(("gap", "kerf"), [(2, 2.4), (4, 4.2), (1, 3)])
def test_a_kerf_wider_than_the_gap_between_parts_is_refused(gap: float, kerf: float, tmp_path: Path) -> None:
    refused(cut(tmp_path, split(f"gap = {gap}", f"kerf = {kerf}")), str(gap), str(kerf))


def test_a_shared_joint_is_not_cut_twice(tmp_path: Path) -> None:
    ran = cut(tmp_path, split())
    if ran.code:
        refused(ran)
        return
    joints = [*drawing(ran, "CUT_OUTLINE"), *drawing(ran, "CUT_JOINTS")]
    twice = sum(
        one.buffer(1e-4).intersection(other).length for n, one in enumerate(joints) for other in joints[n + 1 :]
    )
    assert twice < 1.0  # touching corners only


def test_parts_without_a_gap_and_with_a_kerf_do_not_overlap(tmp_path: Path) -> None:
    ran = cut(tmp_path, split(cut="kerf = 3"))
    if ran.code:
        refused(ran, "3")
        return
    for n, one in enumerate(parts := outlines(ran)):
        assert all(one.intersection(other).area < 0.1 for other in parts[n + 1 :])


@pytest.mark.parametrize("kerf", [4.0, 4.5])
def test_a_notch_narrower_than_the_kerf_is_refused(kerf: float, tmp_path: Path) -> None:
    corners = [(-100, -80), (100, -80), (100, 80), (2, 80), (2, 20), (-2, 20), (-2, 80), (-100, 80)]
    path = "".join(f"[[plate.path]]\nx = {x}\ny = {y}\n" for x, y in corners)
    text = (
        f'{HEAD}[plate]\noutline = "path"\nthickness = 10\n{path}[[hole]]\ndiameter = 20\nx = -60\ny = 0\n'
        f"[cut]\nkerf = {kerf}\n"
    )
    ran = cut(tmp_path, text)
    refused(ran, f"{kerf:g}")


@pytest.mark.parametrize("kind", ["dowel", "tapped"])
def test_a_hole_that_is_only_marked_is_marked_once(kind: str, tmp_path: Path) -> None:
    size = "hole_diameter = 10" if kind == "dowel" else 'thread = "M10"\ndepth = 11'
    text = (
        f"{HEAD}[plate]\noutside_diameter = 200\nthickness = 20\n[[bolt_circle]]\ndiameter = 150\nhole_count = 4\n"
        f'{size}\nkind = "{kind}"\nplacement = "on-centerline"\n[cut]\nmarks = ["centers"]\n'
    )
    ran = cut(tmp_path, text)
    assert ran.code == 0, ran.err
    marks = drawing(ran, "CUT_MARKS")
    for angle in (0, 90, 180, 270):
        at = shapely.Point(75 * math.cos(math.radians(angle)), 75 * math.sin(math.radians(angle)))
        near = [line for line in marks if line.distance(at) < 6]
        assert near
        doubled = sum(
            one.buffer(1e-4).intersection(other).length for n, one in enumerate(near) for other in near[n + 1 :]
        )
        assert doubled < 0.01


def test_the_starter_of_a_machined_flange_can_be_marked(tmp_path: Path) -> None:
    assert command(tmp_path, "new", "machined-flange", tmp_path / "m.toml").code == 0
    text = (tmp_path / "m.toml").read_text(encoding="utf-8") + '\n[cut]\nmarks = ["centers"]\n'
    ran = cut(tmp_path, text)
    assert ran.code == 0, ran.err
