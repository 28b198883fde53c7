"""The section on the sheet shows each hole as deep and wide as it is made: its hatched metal, from the DXF."""

from dataclasses import dataclass
from pathlib import Path

import pytest
import shapely
from ezdxf.entities import Hatch
from ezdxf.entities.boundary_paths import PolylinePath

from readers import dxf_document
from truth.outside import draw

THICKNESS = 40.0


@dataclass(frozen=True, slots=True)
class Hatching:
    """Hatched metal of a section in model space; the named face is its right edge (first angle, ISO 5456-2)."""

    metal: shapely.Geometry

    def shown(self, depths: tuple[float, float], heights: tuple[float, float]) -> bool:
        """Whether cut metal is shown anywhere between these depths below the named face and heights."""
        face = self.metal.bounds[2]
        room = shapely.box(face - depths[1], heights[0], face - depths[0], heights[1])
        return bool(self.metal.intersection(room).area > 0.1)


def hatching(folder: Path, outline: str, keys: str) -> Hatching:
    text = (
        f'units = "mm"\n[job]\nnumber = "MB-250"\n[plate]\n{outline}\nthickness = {THICKNESS}\n[[bolt_circle]]\n'
        f'diameter = 240\nhole_count = 4\nplacement = "on-centerline"\n{keys}\n[sheet]\nconvention = "ISO"\n'
    )
    ran = draw(folder, text, "--only", "sheet")
    assert ran.code == 0, ran.err
    (data,) = (content for name, content in ran.files.items() if name.endswith("_sheet_mm.dxf"))
    bodies = [
        shapely.Polygon([(x, y) for x, y, _ in path.vertices])
        for hatch in dxf_document(data).modelspace().query("HATCH")
        if isinstance(hatch, Hatch)
        for path in hatch.paths
        if isinstance(path, PolylinePath)
    ]
    return Hatching(shapely.union_all(bodies))


@pytest.mark.parametrize("outline", ["outside_diameter = 300", 'outline = "square"\nwidth = 300'])
@pytest.mark.parametrize("side", [1, -1])
def test_a_blind_thread_ends_in_metal(side: int, outline: str, tmp_path: Path) -> None:
    # M16 tapped 15 deep in 40: tap drill 14 mm wide, full metal from at most 15 plus run-out and drill point on.
    section = hatching(tmp_path, outline, 'kind = "tapped"\nthread = "M16"\ndepth = 16')
    low, high = sorted((side * 114.5, side * 125.5))
    assert section.shown((33, 39), (low, high))
    assert not section.shown((1, 15), (low, high))


@pytest.mark.parametrize("outline", ["outside_diameter = 300", 'outline = "square"\nwidth = 300'])
def test_a_counterbore_is_wide_at_the_face_and_narrow_below(outline: str, tmp_path: Path) -> None:
    seat = 'kind = "counterbored"\nhole_diameter = 18\nseat_diameter = 30\nseat_depth = 17'
    section = hatching(tmp_path, outline, seat)
    assert not section.shown((1, 16), (130, 134.5))  # within the seat, beside the hole
    assert section.shown((18, 39), (129.5, 134.5))  # below the seat
    assert not section.shown((1, 39), (112, 128))  # the hole itself goes through


@pytest.mark.parametrize("outline", ["outside_diameter = 300", 'outline = "square"\nwidth = 300'])
@pytest.mark.parametrize(("face", "depths"), [("face", (0.0, 1.0)), ("back", (39.0, 40.0))])
def test_a_spotface_is_a_shallow_step_at_its_face(
    face: str, depths: tuple[float, float], outline: str, tmp_path: Path
) -> None:
    # It cleans the face up: a millimeter or a little more (common practice, no source), drawn so that it is seen.
    keys = f'kind = "spotfaced"\nhole_diameter = 18\nseat_diameter = 34\nworked_from = "{face}"'
    section = hatching(tmp_path, outline, keys)
    assert not section.shown(depths, (104, 136))
    assert section.shown((7, 33), (129.5, 136.5))
    assert section.shown((40 - depths[1], 40 - depths[0]), (129.5, 136.5))  # nothing is taken off the other face


def test_a_plain_hole_goes_right_through(tmp_path: Path) -> None:
    section = hatching(tmp_path, "outside_diameter = 300", "hole_diameter = 18")
    assert not section.shown((1, 39), (112, 128))
    assert section.shown((1, 39), (60, 110))


@pytest.mark.parametrize("outline", ["outside_diameter = 300", 'outline = "square"\nwidth = 300'])
def test_what_is_turned_is_cut_out_of_its_own_face(outline: str, tmp_path: Path) -> None:
    # A register 180 x 6 in the back, a spigot 200 x 4 high on the named face, a bore of 100; 40 over all.
    turned = (
        '\n[[turned]]\nkind = "register"\nface = "back"\ndiameter = 180\ndepth = 6\nfit = "H8"\n'
        '[[turned]]\nkind = "spigot"\ndiameter = 200\nheight = 4\n'
    )
    section = hatching(tmp_path, f"{outline}\nbore = 100", f"hole_diameter = 18{turned}")
    assert not section.shown((34.2, 40), (52, 89))  # the register, seen from behind
    assert section.shown((30, 33.8), (52, 89))
    assert section.shown((34.2, 39.8), (91, 99))
    assert section.shown((0.2, 3.8), (52, 99))  # the spigot
    assert not section.shown((0, 3.8), (101, 149))
    assert section.shown((4.2, 39), (132, 149))


def test_a_thread_of_the_back_ends_below_the_face(tmp_path: Path) -> None:
    section = hatching(
        tmp_path, "outside_diameter = 300", 'kind = "tapped"\nthread = "M16"\ndepth = 16\nworked_from = "back"'
    )
    assert section.shown((1, 7), (114.5, 125.5))
    assert not section.shown((25, 39), (114.5, 125.5))
