"""One row a paper: wherever papers are named, all of them are."""

import pytest

from flangelayout.drawing.papers import PAPERS, PaperName, TemplatePaper, paper
from flangelayout.job.schema.border import PapersTable
from rows import every_row


def test_every_place_that_names_papers_names_all_of_them() -> None:
    assert set(PAPERS) == set(PaperName)
    assert set(PapersTable.model_fields) == {name.value for name in PaperName}
    assert {name.value for name in PaperName} < {name.value for name in TemplatePaper}


@every_row(
    ("name", "width", "height"),
    [("A4", 210.0, 297.0), ("A3", 297.0, 420.0), ("Letter", 215.9, 279.4), ("Tabloid", 279.4, 431.8)],
)
def test_papers_are_as_published(name: str, width: float, height: float) -> None:
    """ISO 216 for A4 and A3; ASME Y14.1 sizes A (8.5 x 11 in) and B (11 x 17 in)."""
    upright, sideways = paper(name), paper(name, landscape=True)
    assert (upright.width, upright.height) == pytest.approx((width, height))
    assert (sideways.width, sideways.height) == pytest.approx((height, width))
