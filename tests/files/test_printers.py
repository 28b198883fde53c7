"""The user's file of measured printers."""

from pathlib import Path

import pytest

from flangelayout.drawing.printer import Printer
from flangelayout.errors import InputError, OutputError
from flangelayout.files.printers import (
    check_name,
    find_printer,
    forget_printer,
    keep_printer,
    known_printers,
    printers_file,
)
from rows import every_row

OFFICE = Printer("office", 0.996, 1.002, "A4", "2026-11-25", 0.05)


@pytest.fixture(autouse=True)
def config(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of its own for every test."""
    folder = tmp_path / "config"
    monkeypatch.setattr("platformdirs.user_config_path", lambda *_args, **_kinds: folder)
    return folder


def refused(content: str, config: Path) -> str:
    config.mkdir()
    (config / "printers.toml").write_text(content, encoding="utf-8")
    with pytest.raises(InputError) as wrong:
        known_printers()
    return str(wrong.value)


def test_there_are_none_before_the_first_is_measured() -> None:
    assert known_printers() == {}
    assert not printers_file().exists()


def test_a_printer_comes_back_as_it_was_kept() -> None:
    keep_printer(OFFICE)
    assert find_printer("office") == OFFICE
    assert find_printer("OFFICE") == OFFICE


@pytest.mark.parametrize("name", ['up "stairs" \\ left', "Büro 2", "a.b", "[x]", "shop'floor"])
def test_any_name_comes_back(name: str) -> None:
    printer = Printer(name, 1.01, 0.99, "Letter", "2026-11-25")
    keep_printer(OFFICE)
    keep_printer(printer)
    assert known_printers() == {"office": OFFICE, name: printer}


def test_measuring_again_takes_the_place_of_the_old_record() -> None:
    keep_printer(OFFICE)
    keep_printer(Printer("Office", 1.0, 1.0, "A4", "2026-11-26"))
    assert [printer.across for printer in known_printers().values()] == [1.0]


def test_a_forgotten_printer_is_gone_and_the_others_stay() -> None:
    keep_printer(OFFICE)
    keep_printer(Printer("plotter", 1.0, 1.0, "A3", "2026-11-26"))
    forget_printer("office")
    assert list(known_printers()) == ["plotter"]


def test_an_unknown_name_brings_the_nearest() -> None:
    keep_printer(OFFICE)
    with pytest.raises(InputError, match="did you mean office"):
        find_printer("ofice")
    with pytest.raises(InputError, match="measure it first"):
        find_printer("zzz")


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("across = 1", "is no table"),
        ('[a]\nacross = 1.0\nalong = 1.0\npaper = "A4"', "has no date"),
        ('[a]\nacross = 0.5\nalong = 1.0\npaper = "A4"\ndate = "x"', "beyond 0.97 to 1.03"),
        ('[a]\nacross = nan\nalong = 1.0\npaper = "A4"\ndate = "x"', "beyond 0.97 to 1.03"),
        ('[a]\nacross = 1.0\nalong = true\npaper = "A4"\ndate = "x"', "did not write"),
        ('[a]\nacross = 1.0\nalong = 1.0\npaper = "A9"\ndate = "x"', "A9"),
        ('[a]\nacross = 1.0\nalong = 1.0\npaper = "A4"\ndate = "x"\nz = 1', "did not write"),
        ("[a", "damaged"),
    ],
)
def test_a_damaged_file_is_told_with_its_place(content: str, said: str, config: Path) -> None:
    text = refused(content, config)
    assert str(config) in text
    assert said in text


def test_a_file_that_cannot_be_written_is_told(config: Path) -> None:
    config.parent.mkdir(exist_ok=True)
    config.write_text("a file where a folder should be", encoding="utf-8")
    with pytest.raises((OutputError, InputError), match=str(config)):
        keep_printer(OFFICE)


@every_row("name", ["", "   ", "x" * 61, "bell\x07"])
def test_names_that_cannot_be_printed_are_refused(name: str) -> None:
    with pytest.raises(InputError, match="printable"):
        check_name(name)
