"""One wall: the exact Pareto set of stiffness, mass and cost over all that the workshop may roll.

What is proved, and how
-----------------------
A wall is a row of options from the bore outward, every layer at its own radius. Mass and cost are sums of c V, V the
ring volume of a ply per metre and c its density or its price per volume. The gain G is EI or EA of the thin tier.

1. *Gain from above.* The thin tier makes G least over the free hoop strain and the free shear or twist: G is the
   least energy of a unit stretch or bend. So any one choice of them bounds G from above. Hoop strain -a times the
   axial strain and no shear gives G <= sum(q w) with q = Q11 - 2 a Q12 + a^2 Q22 > 0 and w the radial weight of a
   layer, pi/4 (ro^4 - ri^4) or pi (ro^2 - ri^2). The search fixes one a; a set of plies looked at closely has its
   own, that of one of its orders.
2. *Order.* Let a layer fill [x, x + t] with weight F(x + t) - F(x), F convex (r^4 or r^2). Swapping neighbours a, b
   (a inside) changes sum(q w) by (q_b - q_a)(F(x + t_a + t_b) - F(x + t_a) - F(x + t_b) + F(x)), and the bracket is
   not negative. Hence over all orders of a set of plies sum(q w) is greatest with q rising outward. In the same way
   sum(c V) changes by 2 pi t_a t_b (c_b - c_a): it is least with c falling outward, and equals
   sum(pi c t (d + t)) + 2 pi sum over pairs (t_i t_j min(c_i, c_j)). Sets of plies are gone through with q rising,
   so all three bounds of a set are running sums.
3. *A set of plies* is excluded ("ideal") when a wall already found has at least that gain at no more than that mass
   and cost: every order of it is then no better. In the same way an order is excluded by its first plies and the
   best orders of the rest.
4. *A branch*, all sets that begin with given plies and go on with options k and up, at most s of them, is excluded
   ("completions") when this holds for each completion that no other completion beats. The gain of a completion is
   a cubic in the thickness it lies on, mass and cost at least a line (min(c_i, c_k) >= min(c)); one completion
   beats another if the Bernstein coefficients of its cubic over all possible thicknesses are no less and both ends
   of its two lines no more. Because a found wall stays as good for greater mass and cost and smaller gain, a beaten
   completion need not be looked at.
5. *A beginning*, the first plies of an order, is needless when the same plies begun in another order are as good
   whatever follows. Both reach the same radius, so what follows adds the same to mass, to cost and to the energy
   E(a, g) = M11 - 2 a M12 + a^2 M22 + 2 g (M13 - a M23) + g^2 M33 of hoop contraction a and shear g, and G = min E.
   Let (a, g) be where the first wall's energy E1 is least: if E1 >= E2 there, then G1 = E1 >= E2 >= G2. All such
   (a, g) of the walls of one set lie in a box: what a ply adds to each M is a constant times a first or (a balanced
   pair in M13, M23) second difference of r^2, r^3 or r^4, so it changes steadily with its radius and lies between its
   values innermost and outermost; sums, and a and g by elimination, follow by intervals. Over the box E1 >= E2 if no
   Bernstein coefficient of E1 is less; these are linear in what is laid. So orders are built up side by side, of
   all beginnings with the same plies only those kept that no other makes needless: 2^n numbers of what is laid, not
   n! orders. A rule on what may lie on what asks besides for the same last ply and a block no thicker; a rule that
   the energy does not know (ring, clamp, twist, and bending where the gain is EA) or a barred wall in the set (see 7)
   puts this bound out of use, and orders are gone through one by one.
6. *Rounds.* Sets are gone through first, one order of each that remains is tried. Of the sets left those come first
   whose bounds no other's equal, and before each round every set and beginning is held against the very figures of
   the walls found. With the order as listed, the rank order is the roll's order, mass and cost of a set are exact and
   there is one order, which is computed at once.
7. *What a wall must bear* (strength, squeeze, clamp) is dear to work out and no figure of the trade, so it is asked of
   the walls of a finished front alone. Those that fall short are barred by name and the search is run again, until all
   walls of a front bear it. Every wall barred falls short, and each wall that bears it was a candidate of the last
   search; so no such wall is better than its front, and all of that front bear it.

Walls with equal figures (to `digits` significant digits) count once, as the one of fewest plies and lowest numbers
among those computed. Sums of the same plies in another order are taken as the same within their last bits. The chunks
of the search do not depend on the number of threads, so neither does the answer.
"""

from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass, replace

from polewright.arrays import FloatArray, freeze
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.search.bearing import first_short
from polewright.search.certificate import Certificate, Ledger
from polewright.search.option_table import NAMES, TALLY, IntArray
from polewright.search.options import GAINS, Options
from polewright.search.packing import Barred
from polewright.search.wall_search import MOST_PLAIN, Progress, Run, candidates_in_all, found_walls
from polewright.search.wall_set import Walls
from polewright.wall.stack import Stack

__all__ = ["WallFront", "best_walls", "candidates_in_all"]

MOST_BARRED = 30_000


@dataclass(frozen=True, slots=True, eq=False)
class WallFront:
    """The walls that nothing beats, by rising mass; figures (n_wall,) each, `recipes` as numbers of the options.

    bending EI [N m2], axial EA [N], twist GJ [N m2], mass [kg/m], cost [currency/m], ring [N m] hoop bending
    stiffness per unit of width, collapse [Pa] outside pressure, wall [m] thickness.
    """

    options: Options
    recipes: tuple[tuple[int, ...], ...]
    bending: FloatArray
    axial: FloatArray
    mass: FloatArray
    cost: FloatArray
    twist: FloatArray
    ring: FloatArray
    collapse: FloatArray
    wall: FloatArray
    certificate: Certificate

    def __post_init__(self) -> None:
        freeze(self, NAMES)

    def __len__(self) -> int:
        return len(self.recipes)

    def stack(self, at: int) -> Stack:
        """The wall number `at` as it is rolled."""
        return self.options.stack(self.recipes[at])


def _refuse_huge(options: Options, plain: bool) -> None:
    total = candidates_in_all(options)
    if total > 2**62:
        raise DesignError("most", options.most, Message("want.fewer_plies_or_options_sets_plies", total=float(total)))
    orders = len(options.plies) ** options.most if options.order == "any" else total
    if plain and orders > MOST_PLAIN:
        raise DesignError(
            "figures",
            ", ".join(options.figures),
            Message("want.at_most_walls_when_twist_or", most_plain=MOST_PLAIN, orders=float(orders)),
        )


def best_walls(
    options: Options,
    *,
    threads: int = 2,
    executor: Executor | None = None,
    progress: Progress | None = None,
    stop: Callable[[], bool] | None = None,
) -> WallFront:
    """The exact Pareto set of one wall on one bore, with its certificate; see the head of this file for the proof.

    Parameters
    ----------
    threads : how many chunks run side by side in this process; the answer does not depend on it.
    executor : runs the chunks elsewhere instead (processes, a cluster).
    progress : called with chunks done and chunks in all.
    stop : asked after every chunk, and before a wall is looked at for what it bears; true ends the search with what
        was found, and the certificate says so.

    Returns
    -------
    WallFront, by rising mass.

    Raises
    ------
    DesignError : more candidates than can be counted or, with further figures, computed; too many walls that do not
    bear what they must.
    """
    plain = any(f in GAINS for f in options.figures[1:])
    _refuse_huge(options, plain)
    known: Barred = {}
    while True:
        with Run(threads, executor, progress, stop) as run:
            front = _front(options, *found_walls(options, plain, {r: s for r, s in known.items() if s >= 0}, run))
        if options.bears is None:
            return front
        new: Barred = {}
        for recipe in (r for r in front.recipes if r not in known):
            # a search that was stopped among its chunks keeps its best so far: those are looked at all the same
            if stop is not None and stop() and front.certificate.is_complete:
                return _stopped(front, known | new)
            new[recipe] = first_short(options, recipe)
        known |= new
        if all(s < 0 for s in new.values()):
            return front
        if not front.certificate.is_complete:
            return _kept(front, [at for at, r in enumerate(front.recipes) if known[r] < 0])
        if len(known) > MOST_BARRED:
            raise DesignError(
                "bears",
                Message("given.walls_looked_at_best_them_still", count=len(known)),
                Message("want.less_bear_or_fewer_plies_options"),
            )


def _kept(front: WallFront, rows: list[int]) -> WallFront:
    """The same front with these walls alone."""
    return replace(front, recipes=tuple(front.recipes[r] for r in rows), **{n: getattr(front, n)[rows] for n in NAMES})


def _stopped(front: WallFront, known: Barred) -> WallFront:
    """What is left of a front where looking at what its walls bear was stopped: those known to bear it."""
    rows = [at for at, recipe in enumerate(front.recipes) if known.get(recipe, 0) < 0]
    looked = sum(recipe in known for recipe in front.recipes)
    ledger = Ledger("walls looked at for what they bear", len(front.recipes), looked, ())
    proof = replace(front.certificate, ledgers=(*front.certificate.ledgers, ledger))
    return replace(_kept(front, rows), certificate=proof)


def _front(options: Options, walls: Walls, tally: IntArray) -> WallFront:
    recipes = tuple(tuple(r[:n]) for r, n in zip(walls.recipe.tolist(), walls.size.tolist(), strict=True))
    return WallFront(
        options,
        recipes,
        **{n: walls.figures[:, c] for c, n in enumerate(NAMES)},
        certificate=_certificate(options, tally),
    )


def _certificate(options: Options, tally: IntArray) -> Certificate:
    count = dict(zip(TALLY, (int(n) for n in tally), strict=True))
    sets = Ledger(
        "sets of plies",
        candidates_in_all(options),
        count["expanded"],
        tuple(
            (words, count[name])
            for name, words in (
                ("completions", "no completion of the branch is better than a wall found"),
                ("ideal", "no order of the set is better than a wall found"),
                ("most wall", "rule: most wall"),
                ("least wall", "rule: least wall"),
                ("apart", "rule: neighbouring angles, in no order kept"),
            )
        ),
    )
    by_rule = tuple((name.removeprefix("orders by "), count[name]) for name in TALLY if name.startswith("orders by r"))
    orders = Ledger(
        "orders of the sets evaluated",
        count["orders"],
        count["orders evaluated"],
        (
            ("no order that begins so is better than a wall found", count["orders by bound"]),
            ("the same plies begun in another order are as good, whatever follows", count["orders by beginning"]),
            *by_rule,
        ),
    )
    return Certificate((sets, orders))
