"""``flangelayout chart`` from the outside."""

from pathlib import Path

import pytest

from flangelayout.cli import run
from readers import pdf_pages_text


def test_it_writes_the_wall_chart_as_pdf_and_svg(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["chart", "--paper", "A3", "--into", str(tmp_path)]) == 0
    written = sorted(path.name for path in tmp_path.glob("chart*"))
    assert written[0] == "chart_factors_A3.pdf"
    assert {"chart_factors_A3_mm.svg", "chart_factors_A3_2_mm.svg"} <= set(written)
    assert "0.38268" in pdf_pages_text((tmp_path / "chart_factors_A3.pdf").read_bytes())
    first = (tmp_path / "chart_factors_A3.pdf").read_bytes()
    assert run(["chart", "--paper", "A3", "--into", str(tmp_path)]) == 0
    assert (tmp_path / "chart_factors_A3.pdf").read_bytes() == first
    assert "unchanged" in capsys.readouterr().out


def test_designations_and_families_add_up(tmp_path: Path) -> None:
    assert run(["chart", "EN 1092-1 PN16 DN150", "--family", "pipe", "--card", "--into", str(tmp_path)]) == 0
    (card,) = tmp_path.glob("*.pdf")
    assert "69.8" in pdf_pages_text(card.read_bytes())  # 240 x sin 22.5 deg - 22, by hand


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["chart", "PN17"], '"PN17" is in no table'),
        (["chart", "--card"], "needs a designation or a family"),
        (["chart", "--family", "pipe"], "400 are the most"),
    ],
)
def test_what_cannot_be_drawn_is_told(
    arguments: list[str], told: str, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(arguments) == 2
    assert told in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []
