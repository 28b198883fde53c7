"""Which standard a designation of a list means is said once, and only where it fits several."""

from flangelayout.batch.meant import standards_to_choose, with_meant


def test_a_designation_that_fits_several_takes_the_standard_that_is_meant() -> None:
    """Table D is of AS 2129 and of BS 10, class 150 of 26 in of both series of ASME B16.47; PN 16 DN 100 means one row.

    A text of sizes, and one that is doubtful in itself, stay to be asked: no name of a standard answers them.
    """
    named = {"Table D DN100": "BS 10 Table D DN100", "Class 150 26 in": "ASME B16.47 Series B Class 150 NPS 26"}
    kept = ("DN100 PN16", "8 x 18 on 180", "Table D", "nothing known")
    for text in (*named, *kept):
        row = {"title": text, "plate": {"standard": text}, "bolt_circle": [{"standard": text, "bolt": "M16"}]}
        meant = with_meant(row, ("BS 10", "ASME B16.47 Series B"), ())
        designation = named.get(text, text)
        assert meant["plate"] == {"standard": designation}
        assert meant["bolt_circle"] == [{"standard": designation, "bolt": "M16"}]
        assert meant["title"] == text
        assert with_meant(row, (), ()) == row
        assert with_meant(row, ("ASME B16.47",), ())["plate"] == {"standard": text}


def test_the_standards_to_choose_from_are_those_of_the_rows() -> None:
    rows = [{"plate": {"standard": text}} for text in ("Table D DN100", "DN100 PN16", "Class 150 26 in")]
    choices = [set(each) for each in standards_to_choose(rows, ())]
    assert choices == [{"AS 2129", "BS 10"}, {"ASME B16.47 Series A", "ASME B16.47 Series B"}]
