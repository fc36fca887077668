"""A brief in, the best poles out: the search in steps that can be watched and stopped, and its answer as a report."""

from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from math import isfinite
from typing import Any

from polewright.documents.brief_file import BriefDocument
from polewright.documents.check import check
from polewright.documents.design import Design
from polewright.documents.document import Document
from polewright.documents.find_state import state_bytes, state_from
from polewright.documents.find_words import conflict_words, money_of, offer_of, way_of
from polewright.documents.found import Count, FindReport, FoundFigures, Read, design_of, figures_of, read_of, short_of
from polewright.documents.options_of import Asked, asked_of, bar_of, brief_of
from polewright.documents.shelf import ply_record
from polewright.errors import DesignError, NotConverged, PolewrightError
from polewright.search import (
    Brief,
    Conflict,
    FoundPole,
    Links,
    Offer,
    Option,
    PoleSearch,
    Progress,
    SearchState,
    best_pole,
    brief_base,
    candidates_in_all,
    estimate,
    fronts_of,
    fronts_wanted,
    kept_fronts,
    kept_of,
    links_of,
    offers,
    pole_front,
    state_of,
    why_not,
)
from polewright.units import si, to

__all__ = ["Answer", "Finder", "StoppedEarly", "find"]

Say = Callable[[Progress], None]
Keep = Callable[[Callable[[], bytes]], None]
"""Told, again and again, what makes a checkpoint: it may be called at once or not at all."""
SECONDS = 600.0
"""[s] that a search may be expected to take before it is refused with its estimate."""
_ROUNDS = 3
_PLAIN = 1.3
_SAME = 0.002  # poles of the trade as near as this are one


class StoppedEarly(PolewrightError):  # noqa: N818
    """The person stopped the search before there was a pole to keep."""


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """What `find` gives: the report, the best pole (None: none meets the brief) and the trade as whole designs."""

    report: FindReport
    best: Design | None
    front: tuple[Design, ...]


def find(
    document: Document,
    *,
    seconds: float = SECONDS,
    executor: Executor | None = None,
    say: Say | None = None,
    stop: Callable[[], bool] | None = None,
) -> Answer:
    """The best poles for a brief, or for a pole design's own brief and options; every step of the answer.

    seconds : [s] a search that is expected to take longer is refused with its estimate. executor : works out walls
    elsewhere (processes, a cluster). say : told how the search stands. stop : asked as often; true keeps the best.

    Raises
    ------
    DocumentError : no options, a name that is not on the shelf, rules that contradict, another kind of document.
    DesignError : the search would take too long; the estimate is in the words.
    StoppedEarly : stopped before there was a pole to keep.
    """
    finder = Finder(document, executor=executor, say=say, stop=stop)
    finder.estimate(seconds)
    finder.search()
    if not finder.is_stopped:
        finder.trade()
        finder.buy()
    return finder.answer()


class Finder:
    """One search, step by step: estimate, search, trade, buy, answer; walls worked out once are remembered."""

    def __init__(
        self,
        document: Document,
        *,
        executor: Executor | None = None,
        say: Say | None = None,
        stop: Callable[[], bool] | None = None,
        keep: Keep | None = None,
    ) -> None:
        if isinstance(document, Design):
            document = brief_of(document)
        if not isinstance(document, BriefDocument):
            raise DesignError("document", repr(document.document), "a brief or a pole-design to find a pole for")
        self.asked: Asked = asked_of(document)
        self.is_stopped = False
        self._on, self._say, self._asks = executor, say or (lambda _: None), stop or (lambda: False)
        self._keep = keep or (lambda _: None)
        self._is_halted = False
        self._known: dict[Any, Any] = {}
        self._wanted: dict[Any, Any] = {}
        self._links: Links | None = None
        self._result: PoleSearch | None = None
        self._at: Brief = self.asked.brief
        self._about = document.content_hash()
        self._front: list[tuple[FoundPole, float]] = []
        self._offers: tuple[Offer, ...] = ()
        self._conflict: Conflict | None = None
        self._estimate = ""

    def halt(self) -> None:
        """Ask the search to stop at its next look."""
        self._is_halted = True

    def _halted(self) -> bool:
        return self._is_halted or self._asks()

    def estimate(self, seconds: float = SECONDS) -> str:
        """How many candidates there are and how long it will take, in words.

        Raises
        ------
        DesignError : it is expected to take more than `seconds`.
        """
        walls, fits = self.asked.shop.walls, self._fits()
        # a least wall that a few plies cannot make would leave the estimate without its small cases
        guess = estimate(replace(walls, rules=replace(walls.rules, least_wall=0.0)))
        time = guess.seconds * fits
        self._estimate = (
            f"{candidates_in_all(walls):,} sets of plies on each of {fits} fits of the rack: "
            f"{_time_words(time)}, roughly"
        )
        if time > seconds:
            raise DesignError(
                "search",
                self._estimate,
                "fewer rolls.plies, a smaller rolls.most_plies, order = "
                f'"listed", a narrower clearance window, or leave: --seconds {_round_up(time):.0f}',
            )
        return self._estimate

    def _fits(self) -> int:
        """Pairs of bars, and last bars, whose clearance some wall could make."""
        shop, base = self.asked.shop, brief_base(self.asked.brief, self.asked.shop)
        thinnest = max(min(o.thickness for o in shop.walls.plies), shop.walls.rules.least_wall)
        thickest = min(shop.walls.thickest, shop.walls.rules.most_wall)
        bores = [b.bore for b in shop.bars]
        pairs = sum(
            1
            for a in bores
            for b in bores
            if b > a
            and (b - a - shop.build.clearance_least) / 2.0 >= thinnest
            and (b - a - shop.build.clearance_most) / 2.0 <= thickest
        )
        return 2 * pairs + sum(1 for a in bores if (base - a) / 2.0 >= thinnest)

    def search(self, state: bytes | None = None) -> None:
        """The best pole; then, where the full check reads otherwise than the search's model, limits moved to fit.

        Without a pole, why there is none. state : of this brief's search stopped before, to go on from.

        Raises
        ------
        StoppedEarly : stopped before there was a pole. DesignError : the state is of another brief.
        """
        asked, kept = self.asked, None
        base = brief_base(asked.brief, asked.shop)
        self._wanted = fronts_wanted(asked.shop, base)
        if state is not None:
            self._at, kept, fronts = state_from(state, self._about)
            self._known |= {} if fronts is None else fronts_of(fronts, self._wanted)
        self._links = links_of(
            asked.shop, base, known=self._known, executor=self._on, progress=self._walls_done, stop=self._halted
        )
        self._settle(self._best(self._at, None if kept is None else state_of(kept, self._at, asked.shop, self._links)))

    def go_on(self) -> None:
        """Go on with a search that was stopped, from where it stood; nothing where it was at its end."""
        result = self._result
        if result is None or result.state is None:
            return
        self.is_stopped = self._is_halted = False
        self._settle(self._best(self._at, result.state))

    @property
    def can_go_on(self) -> bool:
        """Whether the search was stopped where it can be gone on with."""
        return self._result is not None and self._result.state is not None

    @property
    def is_done(self) -> bool:
        """Whether the search went to its end."""
        return self._result is not None and self._result.state is None

    @property
    def state(self) -> bytes | None:
        """A stopped search as a file holds it, with the walls so far; None where there is nothing to go on with."""
        if self._result is None:
            return self._bytes(self._at, None) if self._known else None
        return None if self._result.state is None else self._bytes(self._at, self._result.state)

    def _bytes(self, brief: Brief, state: SearchState | None) -> bytes:
        search = None if state is None else kept_of(state)
        return state_bytes(self._about, brief, search, kept_fronts(self._known, self._wanted))

    def _checkpoint(self, brief: Brief, state: SearchState) -> None:
        """Offer a state to go on from; not one of moved limits that no pole is known to meet."""
        if brief == self.asked.brief or state.incumbent.best is not None:
            self._keep(lambda: self._bytes(brief, state))

    def _walls_done(self, done: int, of: int) -> None:
        self._say(Progress("walls", done=done, of=of))
        self._keep(lambda: self._bytes(self._at, None))
        if self._halted() and done < of:
            raise StoppedEarly("search", f"{done} of {of} fits done", "stopped before a pole was found")

    def _best(self, brief: Brief, state: SearchState | None = None, *, is_kept: bool = True) -> PoleSearch:
        result = best_pole(
            brief,
            self.asked.shop,
            links=self._links,
            progress=self._say,
            stop=self._halted,
            resume=state,
            checkpoint=(lambda now: self._checkpoint(brief, now)) if is_kept else None,
        )
        self.is_stopped = self.is_stopped or not result.is_complete
        return result

    def _settle(self, first: PoleSearch) -> None:
        """Move the limits of the search until the pole meets them by the full check too."""
        self._result = result = first
        if result.best is None:
            if self.is_stopped:
                raise StoppedEarly("search", None, "stopped before a pole was found; there is no best so far")
            self._say(Progress("wishes"))
            self._conflict = why_not(self.asked.brief, self.asked.shop, known=self._known, stop=self._halted)
            return
        for _ in range(_ROUNDS):
            if result.best is None or self.is_stopped:
                break
            moved = self._moved(self._at, result.best)
            if moved is None:
                break
            result = self._best(moved)
            if result.best is not None:
                self._at, self._result = moved, result

    def _moved(self, brief: Brief, pole: FoundPole) -> Brief | None:
        """Limits by as much tighter as the check reads above the search; None where every one is met."""
        wanted, read = self.asked.brief, read_of(self.asked, check(design_of(self.asked, pole)))
        changes: dict[str, Any] = {}
        for name in ("droop", "mass", "cost", "carry"):
            limit, value = getattr(wanted, f"{name}_at_most"), getattr(read, name)
            if isfinite(limit) and value > limit:
                now = getattr(brief, f"{name}_at_most")
                changes[f"{name}_at_most"] = min(now, limit * pole.figure(name) / value) * (1.0 - 1e-4)
        if wanted.flex_wanted is not None and abs(read.flex / wanted.flex_wanted - 1.0) > wanted.flex_within:
            changes["flex_wanted"] = wanted.flex_wanted * pole.flex / read.flex
        changes |= _further_moved(wanted, brief, read, pole)
        return replace(brief, **changes) if changes else None

    def trade(self) -> None:
        """The poles on the trade between droop, mass and cost."""
        if self._result is None or self._result.best is None:
            return
        self._say(Progress("trade"))
        poles, gaps = pole_front(self.asked.brief, self.asked.shop, links=self._links, stop=self._halted)
        for pole, gap in zip(poles, gaps, strict=True):
            if not any(_is_near(pole, other) for other, _ in self._front):
                self._front.append((pole, float(gap)))

    def buy(self) -> None:
        """What a mandrel, a material, a wider base, money or one more section would buy, by the droop it saves.

        Measured against the stiffest pole within the brief; a brief that wants a flex wants no droop saved.
        """
        if self._result is None or self._result.best is None:
            return
        if self.asked.brief.flex_wanted is not None:
            return
        asked, further = self.asked, self.asked.document.further
        now = (
            self._result.best
            if asked.brief.aim == "droop"
            else self._best(replace(asked.brief, aim="droop"), is_kept=False).best
        )
        if now is None:
            return
        self._say(Progress("offers"))
        bars = [
            bar_of(m, asked.document, asked.shop.walls, to(now.length, "mm"), f"further.mandrels[{i}]")
            for i, m in enumerate(further.mandrels)
        ]
        plies = [
            Option(ply_record(m, field=f"further.materials[{i}]").ply, 0.0) for i, m in enumerate(further.materials)
        ]
        self._offers = offers(
            asked.brief,
            asked.shop,
            now,
            bars=bars,
            plies=plies,
            base=self._wider(now),
            cost=further.cost,
            known=self._known,
            stop=self._halted,
        )

    def _wider(self, now: FoundPole) -> float:
        """[m] by which the base is eased: as said, or as much as the widest bar needs for the present butt's wall."""
        said = self.asked.document.further.base_mm
        if said is not None:
            return si("base_mm", said)
        shop = self.asked.shop
        wall = now.base - shop.bars[now.bars[-1]].bore
        return max(max(b.bore for b in shop.bars) + wall - self.asked.brief.base_at_most, si("base_mm", 1.0))

    def answer(self) -> Answer:
        """All that was found so far, as a report and whole designs."""
        result, asked = self._result, self.asked
        if result is None:
            raise StoppedEarly("search", None, "stopped before a pole was found; nothing is kept")
        document = asked.document
        best = None if result.best is None else design_of(asked, result.best)
        designs = [design_of(asked, p, name=f"{document.name} {i}") for i, (p, _) in enumerate(self._front, 1)]
        rows = [
            row for d, (p, gap) in zip(designs, self._front, strict=True) if (row := _row(asked, p, d, gap)) is not None
        ]
        report = FindReport(
            name=document.name,
            currency=document.setting.currency,
            aim=asked.brief.aim,
            best=None
            if result.best is None
            else figures_of(asked, result.best, gap=result.gap if isfinite(result.gap) else None, design=best),
            is_complete=result.is_complete,
            bound_model=result.certificate.model,
            counts=_counts(result),
            estimate=self._estimate,
            notes=self._notes(best),
            front=tuple(rows),
            money=() if self._links is None else money_of(asked, self._plain(result.best), self._links),
            offers=tuple(offer_of(asked, o) for o in self._offers),
            conflict=conflict_words(asked, self._conflict),
            is_hopeless=self._conflict is not None and self._conflict.is_hopeless,
            ways=tuple(way_of(asked, r) for r in (self._conflict.relaxations if self._conflict else ())),
            design=best,
            stopped_at="" if result.is_complete else "best so far; the search was stopped",
        )
        return Answer(report, best, tuple(designs))

    def _plain(self, best: FoundPole | None) -> FoundPole | None:
        """The cheapest pole of the trade that is not much softer than the best: where money has not been spent yet."""
        if best is None:
            return None
        near = [p for p, _ in self._front if p.droop <= _PLAIN * best.droop]
        return min(near, key=lambda p: p.cost, default=best)

    def _notes(self, best: Design | None) -> tuple[str, ...]:
        asked = self.asked
        said = [f"not used: {w}" for w in asked.left_out]
        if asked.brief.flex_wanted is not None:
            said.append("a flex is wanted: what more would buy, which is told by the droop it saves, is left out")
        return (*said, *(short_of(asked.document, best) if best is not None else ()))


def _further_moved(wanted: Brief, brief: Brief, read: Read, pole: FoundPole) -> dict[str, Any]:
    """The same of the wishes at other loads and reaches, and of the swing."""
    changes: dict[str, Any] = {}
    droops = [
        replace(
            now,
            droop_at_most=min(now.droop_at_most, w.droop_at_most * pole.droop_at(w.tip_mass, w.out) / v) * (1.0 - 1e-4),
        )
        if v > w.droop_at_most
        else now
        for w, now, v in zip(wanted.droops, brief.droops, read.droops, strict=True)
    ]
    flexes = [
        replace(now, wanted=w.wanted * pole.flex_at(w.tip_mass, w.out) / v)
        if abs(v / w.wanted - 1.0) > w.within
        else now
        for w, now, v in zip(wanted.flexes, brief.flexes, read.flexes, strict=True)
    ]
    if tuple(droops) != brief.droops:
        changes["droops"] = tuple(droops)
    if tuple(flexes) != brief.flexes:
        changes["flexes"] = tuple(flexes)
    if read.swing < wanted.swing_at_least:
        changes["swing_at_least"] = max(brief.swing_at_least, wanted.swing_at_least * pole.swing / read.swing) * (
            1.0 + 1e-4
        )
    return changes


def _is_near(pole: FoundPole, other: FoundPole) -> bool:
    """Whether nobody could tell the two apart by droop, mass and cost."""
    return all(abs(pole.figure(n) - other.figure(n)) <= _SAME * other.figure(n) for n in ("droop", "mass", "cost"))


def _row(asked: Asked, pole: FoundPole, design: Design, gap: float) -> FoundFigures | None:
    try:
        return figures_of(asked, pole, gap=max(gap, 0.0), design=design)
    except NotConverged:
        return None


def _counts(result: PoleSearch) -> tuple[Count, ...]:
    return tuple(
        Count(what=led.what, in_all=led.in_all, evaluated=led.evaluated, excluded=dict(led.excluded), left=led.left)
        for led in result.certificate.ledgers
    )


def _time_words(seconds: float) -> str:
    if seconds < 90.0:
        return f"about {max(seconds, 1.0):.0f} s"
    if seconds < 5400.0:
        return f"about {seconds / 60.0:.0f} minutes"
    if seconds < 2e5:
        return f"about {seconds / 3600.0:.0f} hours"
    return f"about {seconds / 86400.0:,.0f} days"


def _round_up(seconds: float) -> float:
    return 10.0 ** len(f"{seconds:.0f}") if seconds > 1e6 else 100.0 * (seconds // 100.0 + 1.0)
