"""Chi-square tail probability in closed form, so that no statistics library is loaded for it."""

import math

AGREEMENT_LEVEL = 0.05
"""Readings are said to disagree when honest ones would do so by chance less often than this."""

UNKNOWN_CHARGE = 4.0
"""What an assumption is charged in chi-square for every unknown it adds to a fit (judgement)."""


def chi_square_tail(chi_square: float, degrees_of_freedom: int) -> float:
    """Probability that a chi-square variable with whole degrees of freedom exceeds a value.

    The finite sums of Abramowitz and Stegun, Handbook of Mathematical Functions (1964), 26.4.4 (odd)
    and 26.4.5 (even): with x half the chi-square, exp(-x) times x^j over Gamma(j + 1), summed over
    j = 0, 1, ... (even) or j = 1/2, 3/2, ... (odd, plus erfc of the root of x).

    Args:
        chi_square: Value, 0 or more.
        degrees_of_freedom: 0 or more; with 0 there is nothing to test and 1 comes back.

    Returns:
        Probability from 0 to 1.
    """
    half = chi_square / 2
    if degrees_of_freedom <= 0 or half <= 0:
        return 1.0
    odd = degrees_of_freedom % 2
    total = math.erfc(math.sqrt(half)) if odd else 0.0
    for step in range(degrees_of_freedom // 2):
        power = step + odd / 2
        total += math.exp(power * math.log(half) - half - math.lgamma(power + 1))
    return min(total, 1.0)
