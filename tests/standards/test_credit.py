"""The words a sheet gives a drilling."""

import re

from flangelayout.standards import Confidence, all_patterns, credit, find


def test_two_sources_are_said_to_agree() -> None:
    assert credit(find("EN 1092-1 PN16 DN150")) == (
        "Drilled to match EN 1092-1 PN16 DN150; "
        "values from mining pipe handbook printing BS 4504-1:1969, two sources agree"
    )


def test_one_source_is_said_to_be_one() -> None:
    assert credit(find("EN 1092-1 PN16 DN65")).endswith("connecting dimensions March 2018, one source only")


def test_memory_asks_for_a_check() -> None:
    assert credit(find("ISO 5211 F10")) == ("Drilled to match ISO 5211 F10; values from memory, check before cutting")


def test_a_known_edition_is_named() -> None:
    assert credit(find("BS 10 Table E DN150")).startswith("Drilled to match BS 10 Table E DN150 (edition 1962); ")


def test_no_credit_claims_a_rating_and_every_memory_row_warns() -> None:
    """ASME B16.5 allows plate only for blinds and hubless reducers: a drilled plate matches, it is not rated."""
    for pattern in all_patterns():
        words = credit(pattern)
        assert words.startswith(f"Drilled to match {pattern.designation}")
        assert not re.search(r"rated|rating|approved|complies|conforms", words, re.IGNORECASE)
        warned = "from memory, check before cutting" in words
        assert warned == (pattern.confidence is Confidence.MEMORY)
