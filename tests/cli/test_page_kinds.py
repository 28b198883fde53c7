"""Every kind of page that the commands print, of jobs that fill it, read back by PDFium: no word is too small."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from flangelayout.cli import run
from jobs import job_data, toml_text
from views.awkward_jobs import AWKWARD
from views.printed_page import printed_pages

SURVEY = Path(__file__).parents[2] / "samples" / "old-suction.toml"
LEAST = 2.5
"""Printed mm of a capital: the step of ISO 3098-1 below which a copy is not read (from memory)."""
CONVENTIONS = {"A4": ("ISO", 2.5), "Letter": ("ASME", 3.0)}
"""By paper the rules of the layout sheet and its least letter: those of ASME ask for 3 mm (Y14.2, from memory)."""
JOBS: dict[str, dict[str, Any]] = {
    "every part": {"machine": {"files": ["settings page"]}, "cut": {"process": "plasma"}},
    "long words": {"template": {"style": "strips"}},
    "sixty holes": {"template": {"style": "sector"}},
    "tiny": {"template": {"paper": "one-sheet"}},
    "three circles": {"template": {"paper": "roll"}},
    "blind from the back": {},
    "many warnings": {},
    "grid": {},
    "sunk heads": {},
    "segment": {},
}
KINDS = """card_ chart_chainring _checks _form _inspection _key _mate_ _nest _quote _machine _sheet _template-back_
_template_one-sheet _template_roll _template_{paper}. _template_{paper}_sector _template_{paper}_strips _traveller
_working chart_factors exercise_ photo-cards printer-office"""
"""What stands in the name of a file of each kind."""
PRINTS = 200.4 / 200.0
"""How many times too high the measured printer prints: pages for it are drawn lower."""
BOXES = "1=14.1 2=360.1 3=359.9 4=360"


def written_jobs(paper: str) -> None:
    """The job files, on a paper, in this folder."""
    for number, (name, more) in enumerate(JOBS.items(), 1):
        tables = {"bolt_circle": []} | AWKWARD[name] | {"job": AWKWARD[name].get("job", {}) | {"number": f"K-{number}"}}
        tables |= more | {"template": {"paper": paper} | more.get("template", {})}
        tables["sheet"] = tables.get("sheet", {}) | {"paper": paper, "convention": CONVENTIONS[paper][0]}
        Path(f"{name}.toml").write_text(toml_text(job_data(**tables)), encoding="utf-8")
    survey = SURVEY.read_text(encoding="utf-8")
    assert "[sheet]" not in survey
    sheet = toml_text({"paper": paper, "convention": CONVENTIONS[paper][0]})
    Path("survey.toml").write_text(f"{survey}\n[sheet]\n{sheet}", encoding="utf-8")


def commands(paper: str) -> Iterator[list[str]]:
    """Words that print every kind of page on a paper."""
    files = [f"{name}.toml" for name in JOBS]
    for file in files:
        yield from (["draw", file], ["check", file, "--into", "."], ["traveller", file])
    yield ["draw", "survey.toml"]
    yield ["inspect", files[0], "--form"]
    yield ["inspect", files[0], "--boxes", BOXES]
    yield ["measure", "--holes", "8", "--form", "--paper", paper]
    yield ["mate", files[-2], "EN 1092-1 PN16 DN150"]
    yield ["nest", *files[:4], "--plate", "2500x1250", "--plates", "as-needed"]
    yield ["quote", *files]
    yield ["chart", "--paper", paper]
    yield from (["chart", "--family", "chainring", "--paper", paper, *card] for card in ([], ["--card"]))
    yield from (["exercise", "--level", level, "--paper", paper] for level in "123")
    yield ["printer", "office", "--paper", paper]
    yield ["printer", "office", "--x", "199.2", "--y", "200.4"]
    yield ["cards", "--paper", paper, "--printer", "office"]
    yield ["draw", "grid.toml", "--printer", "office"]


@pytest.mark.slow
@pytest.mark.usefixtures("few_tries")
@pytest.mark.parametrize("paper", CONVENTIONS)
def test_no_page_has_a_word_too_small_for_a_copy(paper: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("platformdirs.user_config_path", lambda *_args, **_kinds: tmp_path / "config")
    written_jobs(paper)
    assert not [words for words in commands(paper) if run(words) == 2]
    files = sorted(tmp_path.glob("*.pdf"))
    assert not [kind for kind in KINDS.format(paper=paper).split() if all(kind not in file.name for file in files)]
    small: list[str] = []
    for file in files:
        least = CONVENTIONS[paper][1] if file.name.endswith("_sheet.pdf") else LEAST
        least /= PRINTS if "office" in file.name else 1.0
        for number, page in enumerate(printed_pages(file.read_bytes()), 1):
            low = sorted({(round(text.height, 2), text.words) for text in page.texts if text.height < least - 0.005})
            small += [f"{file.name}, page {number}: {height} {words}" for height, words in low]
    assert not "\n".join(small)
