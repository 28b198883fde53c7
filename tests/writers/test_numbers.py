from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from flangelayout.writers.numbers import fixed, rounded, spaced
from rows import every_row


@every_row(
    ("value", "text"),
    [(0.0, "0"), (-0.0, "0"), (1e-7, "0"), (-4e-5, "0"), (12.5, "12.5"), (1e6, "1000000"), (-120.12345, "-120.1235")],
)
def test_numbers_are_plain_decimals(value: float, text: str) -> None:
    assert fixed(value) == text


@given(st.floats(-1e6, 1e6))
def test_a_fixed_number_is_within_half_its_last_place_and_has_no_exponent(value: float) -> None:
    text = fixed(value)
    assert "e" not in text.lower()
    assert text != "-0"
    assert abs(Decimal(text) - Decimal(value)) <= Decimal("0.00005001")


@given(st.floats(-1e6, 1e6))
def test_a_rounded_number_never_carries_a_negative_zero(value: float) -> None:
    near = rounded(value)
    assert abs(near - value) <= 5.001e-7
    assert str(near) != "-0.0"


def test_whole_hundreds_keep_their_zeros() -> None:
    assert spaced(100.0, 2400.0, 0.5) == "100 2400 0.5"
