"""Kind and size of a file are asked before it is read."""

import os
from pathlib import Path

import pytest

from flangelayout.errors import InputError
from flangelayout.files.reading import read_file
from flangelayout.problems.files import FileRole


def test_a_plain_file_is_read_up_to_its_most(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"x" * 10)
    assert read_file(path, 10, FileRole.SHOP) == b"x" * 10
    with pytest.raises(InputError, match="a: has 10 bytes; a shop file has at most 9"):
        read_file(path, 9, FileRole.SHOP)


def test_a_huge_file_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "huge"
    with path.open("wb") as file:
        file.truncate(1 << 40)
    with pytest.raises(InputError, match="has 1099511627776 bytes"):
        read_file(path, 1000, FileRole.SHOP)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes with names")
def test_a_pipe_a_device_a_folder_and_nothing_are_told_without_waiting(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for path, told in (
        (tmp_path / "pipe", "is no plain file; save a shop file as one"),
        (Path(os.devnull), "is no plain file"),
        (tmp_path, "is a folder"),
        (tmp_path / "none", "cannot be read"),
        (tmp_path / "a\0b", "no name that a file can have"),
    ):
        with pytest.raises(InputError, match=told):
            read_file(path, 1000, FileRole.SHOP)
