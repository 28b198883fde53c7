from flangelayout.flange.cutting import CutProcess
from flangelayout.standards.shop import density_of, dividing_heads, smallest_hole
from rows import every_row


def test_the_index_plates_are_those_published() -> None:
    # The three plates: an open textbook on machining (section on indexing) and Machinery's Handbook. The two-sided
    # plate: OD 1644, a United States Army correspondence course on milling, figure 11.
    three, two_sided = dividing_heads()
    assert (three.ratio, two_sided.ratio) == (40, 40)
    assert [plate.hole_circles for plate in three.plates] == [
        (15, 16, 17, 18, 19, 20),
        (21, 23, 27, 29, 31, 33),
        (37, 39, 41, 43, 47, 49),
    ]
    assert [plate.hole_circles for plate in two_sided.plates] == [
        (24, 25, 28, 30, 34, 37, 38, 39, 41, 42, 43),
        (46, 47, 49, 51, 53, 54, 57, 58, 59, 62, 66),
    ]


@every_row(
    ("process", "thickness", "least"),
    [
        # Cutting shops' design rules: plasma 1.5 times, laser once the thickness and not below 1 mm.
        (CutProcess.PLASMA, 22.0, 33.0),
        (CutProcess.LASER, 6.0, 6.0),
        (CutProcess.LASER, 0.5, 1.0),
        # From memory: oxyfuel once the thickness; a waterjet about the diameter of its jet.
        (CutProcess.OXYFUEL, 30.0, 30.0),
        (CutProcess.WATERJET, 100.0, 1.0),
    ],
)
def test_the_smallest_hole_follows_process_and_thickness(process: CutProcess, thickness: float, least: float) -> None:
    assert smallest_hole(process).diameter(thickness) == least


def test_every_limit_says_where_it_is_from() -> None:
    origins = {process: smallest_hole(process).origin for process in CutProcess}
    assert origins[CutProcess.PLASMA].startswith("one source only")
    assert origins[CutProcess.OXYFUEL].startswith("not verified")


def test_a_limit_that_hangs_on_the_thickness_is_unknown_without_it() -> None:
    assert smallest_hole(CutProcess.PLASMA).diameter(None) is None
    assert smallest_hole(CutProcess.WATERJET).diameter(None) == 1.0


@every_row(
    ("material", "density"),
    [
        # EN 1991-1-1 gives steel 77.0 to 78.5 kN/m3, 7850 kg/m3 at the top; EN 10088-1 the stainless grades (memory).
        ("carbon steel plate", 7850),
        ("Structural Steel S355", 7850),
        ("stainless 304", 7900),
        ("316L stainless plate", 8000),
        ("1.4404", 8000),
        ("aluminum 6082-T6", 2700),
        ("aluminium", 2710),
        ("brass", 8500),
    ],
)
def test_a_density_is_found_by_the_word_that_says_most(material: str, density: float) -> None:
    found = density_of(material)
    assert found is not None
    assert found.kg_per_m3 == density


@every_row("material", ["", "plywood", "steelhead trout", "3040"])
def test_no_density_is_guessed(material: str) -> None:
    assert density_of(material) is None
