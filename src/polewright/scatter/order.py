"""How many poles must be made so that an order can be filled, and how yield compounds over the tubes of a pole."""

import numpy as np

from polewright.codes import Message
from polewright.conventions.confidence import CONFIDENCE
from polewright.errors import DesignError

__all__ = ["chance_of_filling", "pole_yield", "poles_to_make", "tubes_to_start"]

MOST = 1_000_000


def _check(order: int, passing: float, alike: float) -> None:
    if not 1 <= order < MOST:
        raise DesignError("order", order, Message("want.from_1_poles", most=MOST))
    if not 0.0 <= passing <= 1.0:
        raise DesignError("passing", passing, Message("want.chance_between_0_1"))
    if not 0.0 <= alike < 1.0:
        raise DesignError("alike", alike, Message("want.from_0_up_below_1"))


def chance_of_filling(order: int, *, made: int, passing: float, alike: float = 0.0) -> float:
    """Chance [-] that at least `order` of `made` poles pass, each with chance `passing` [-].

    `alike` [-] is the correlation between two poles of one lot passing. Without it the count is binomial, and its upper
    tail the regularised incomplete beta function I_p(order, made - order + 1); with it the chance itself differs
    from lot to lot as a beta variable, a = p (1 - r)/r and b = (1 - p)(1 - r)/r.

    Source
    ------
    N. L. Johnson, A. W. Kemp, S. Kotz, Univariate Discrete Distributions, 3rd ed., 2005: binomial tail; beta-binomial.
    """
    _check(order, passing, alike)
    if not made >= 0:
        raise DesignError("made", made, Message("want.number_poles"))
    if made < order:
        return 0.0
    if passing in (0.0, 1.0):
        return passing
    from scipy.special import betainc, betaln, gammaln  # 14 MB and a tenth of a second: only who asks pays

    if alike < 1e-9:
        return float(betainc(order, made - order + 1, passing))
    spread = (1.0 - alike) / alike
    a, b = passing * spread, (1.0 - passing) * spread
    k = np.arange(order, made + 1)
    ways = gammaln(made + 1) - gammaln(k + 1) - gammaln(made - k + 1)
    return min(float(np.sum(np.exp(ways + betaln(k + a, made - k + b) - betaln(a, b)))), 1.0)


def poles_to_make(
    order: int, *, passing: float, confidence: float = CONFIDENCE, share: float = 1.0, alike: float = 0.0
) -> int:
    """The fewest poles to make so that, with `confidence` [-], enough of them pass for the order.

    Parameters
    ----------
    order : poles ordered.
    passing : chance [-] that one pole passes.
    share : [-] of the order that must pass, 1 for all of it, rounded up to whole poles.
    alike : correlation [-] between two poles of the order passing, for they share lots.

    Raises
    ------
    DesignError : no number of poles will do: nothing passes, or whole lots fail too often.

    Source
    ------
    as `chance_of_filling`; the waiting number is negative binomial if the poles are independent.
    """
    _check(order, passing, alike)
    if not 0.0 < confidence < 1.0:
        raise DesignError("confidence", confidence, Message("want.between_0_1"))
    if not 0.0 < share <= 1.0:
        raise DesignError("share", share, Message("want.above_0_at_most_1"))
    need = int(np.ceil(order * share - 1e-9))

    def is_enough(made: int) -> bool:
        return chance_of_filling(need, made=made, passing=passing, alike=alike) >= confidence

    low, high = need - 1, need
    while not is_enough(high):
        low, high = high, 2 * high
        if high > MOST:
            code = "want.chance_for_lots_failing_together" if alike > 0.0 else "want.chance_for_so_many_poles"
            raise DesignError("passing", passing, Message(code, most=MOST, confidence=confidence))
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if is_enough(middle) else (middle, high)
    return high


def pole_yield(tube_yield: float, *, tubes: int) -> float:
    """Chance [-] that no tube of a pole is scrap: y^n.

    Source
    ------
    Independent tubes.
    """
    if not 0.0 <= tube_yield <= 1.0:
        raise DesignError("tube_yield", tube_yield, Message("want.between_0_1"))
    if not tubes >= 1:
        raise DesignError("tubes", tubes, Message("want.at_least_one"))
    return float(tube_yield**tubes)


def tubes_to_start(tubes: int, *, tube_yield: float) -> float:
    """Mean number of tubes started [-] for `tubes` good ones, n/y: what cost counts; tube_yield [-] above 0, at most 1.

    Source
    ------
    Mean of the negative binomial distribution.
    """
    if not 0.0 < tube_yield <= 1.0:
        raise DesignError("tube_yield", tube_yield, Message("want.above_0_at_most_1"))
    if not tubes >= 1:
        raise DesignError("tubes", tubes, Message("want.at_least_one"))
    return tubes / tube_yield
