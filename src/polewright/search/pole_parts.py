"""The parts of a search of whole poles, one a number of sections, and what they make: its state and its answer."""

from dataclasses import dataclass, field

import numpy as np

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.search.brief import Brief
from polewright.search.candidate import FoundPole
from polewright.search.certificate import Certificate, Ledger
from polewright.search.option_table import IntArray
from polewright.search.pole_arrays import Stack
from polewright.search.pole_bound import Cut, Incumbent, Problem

__all__ = ["MODEL", "Part", "PoleSearch", "SearchState", "answer_of", "state_now"]

MODEL = Message("find.model")


@dataclass(slots=True)
class Part:
    """Branch and bound for one number of sections; `references` set its further limits.

    is_bounded : whether its limits were priced to the end; a stop leaves bounds weaker than they need be.
    """

    problem: Problem
    cuts: list[Cut]
    stack: Stack
    ways: IntArray
    in_all: int
    window: FloatArray
    references: tuple[FoundPole, ...] = ()
    done: bool = False
    turned_down: dict[str, int] = field(default_factory=dict)
    is_bounded: bool = True

    @property
    def bound(self) -> float:
        """Lower bound [SI unit of the aim] of the aim over these poles as far as proved."""
        root = max((c.bound for c in self.cuts if c.is_aim), default=0.0)
        return max(min(float(self.stack.least[0]), float(self.stack.best[0])), root) if self.done else root


@dataclass(frozen=True, slots=True, eq=False)
class SearchState:
    """Where a stopped search stands; it may be kept, pickled and resumed.

    parts : a number of sections that is missing here has not been bounded yet; resuming begins with that.
    """

    incumbent: Incumbent
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True, eq=False)
class PoleSearch:
    """The answer: best pole (None: none meets the limits), proved lower bound of the aim, gap, certificate.

    is_complete: whether every candidate was dealt with; `state` goes into `best_pole(..., resume=state)` to go on.
    """

    best: FoundPole | None
    bound: float
    certificate: Certificate
    is_complete: bool
    state: "SearchState | None" = None

    @property
    def gap(self) -> float:
        """[-] by how much anything could be better than the best pole; inf where there is none."""
        if self.best is None:
            return np.inf
        return max(self.best.figure(self.best.brief.aim) / self.bound - 1.0, 0.0) if self.bound > 0.0 else np.inf


def state_now(incumbent: Incumbent, parts: list[Part]) -> SearchState:
    """Where a search stands: the parts whose limits were priced to the end."""
    return SearchState(incumbent, tuple(p for p in parts if p.is_bounded))


def answer_of(brief: Brief, parts: list[Part], incumbent: Incumbent) -> PoleSearch:
    """The answer that the parts make, with its certificate."""
    done = all(p.done for p in parts)
    slack = parts[0].problem.links.slack if parts else 0.0
    bound = min((p.bound for p in parts), default=np.inf) / (1.0 + slack) ** (2 if brief.aim == "droop" else 1)
    bound += parts[0].problem.shop.build.fitting * brief.reach if parts and brief.aim == "carry" else 0.0
    gap = (
        max(incumbent.best.figure(brief.aim) / bound - 1.0, 0.0)
        if bound > 0.0 and incumbent.best is not None
        else np.inf
    )
    ledgers = tuple(
        Ledger(
            Message("find.count.poles", sections=p.problem.sections),
            p.in_all,
            int(p.stack.tally[0]) - sum(p.turned_down.values()),
            (
                (Message("find.excluded.bound"), int(p.stack.tally[1])),
                *(
                    (Message("find.excluded.whole_pole", limit=_limit_message(limit)), n)
                    for limit, n in sorted(p.turned_down.items())
                ),
            ),
        )
        for p in parts
    )
    if parts:
        links = parts[0].problem.links
        ledgers = (
            Ledger(
                Message("find.count.ply_sets"),
                links.candidates,
                links.evaluated,
                ((Message("find.excluded.ply_sets"), links.candidates - links.evaluated),),
            ),
            *ledgers,
        )
    return PoleSearch(
        incumbent.best,
        bound,
        Certificate(ledgers, gap=gap, model=MODEL),
        done,
        None if done else state_now(incumbent, parts),
    )


def _limit_message(limit: str) -> Message:
    """Poles turned down by a limit of whole poles, by its code as in `Miss`."""
    what, _, out = limit.partition(":")
    named = Message(f"find.limit.{what}") if out in ("", "0") else Message(f"find.limit.{what}.out", out=int(out))
    return Message("find.excluded.whole_pole", limit=named)
