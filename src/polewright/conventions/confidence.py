"""How sure a stated interval is."""

__all__ = ["CONFIDENCE", "EXPANDED_COVERAGE", "tails"]

CONFIDENCE = 0.95
"""[-] confidence of intervals and share of poles between the ends of a spread, unless the caller asks otherwise."""

EXPANDED_COVERAGE = 0.9545
"""[-] share of results inside the expanded uncertainty of a measurement: k = 2 for many degrees of freedom.

Source
------
JCGM 100:2008, Guide to the Expression of Uncertainty in Measurement, annex G, table G.2.
"""


def tails(confidence: float = CONFIDENCE) -> tuple[float, float]:
    """Quantiles [-] at both ends of a two-sided interval, the same share left out on either side.

    Parameters
    ----------
    confidence : [-] share inside, between 0 and 1.
    """
    left_out = (1.0 - confidence) / 2.0
    return left_out, 1.0 - left_out
