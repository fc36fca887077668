"""The search in steps that can be watched and stopped: estimate, search, trade, buy, answer."""

from collections.abc import Callable
from concurrent.futures import Executor
from contextlib import suppress
from dataclasses import replace
from math import inf, isfinite
from typing import Any

from polewright.answers.find.answer import CountAnswer, FindAnswer
from polewright.answers.find.moved_limits import moved_limits
from polewright.answers.find.offers import conflict_of, money_of, offer_of, way_of
from polewright.answers.find.pole import FoundDesign, design_of, found_design, shortages
from polewright.answers.find.state import state_bytes, state_from
from polewright.answers.options import SearchValues, bar_of, brief_of, search_values
from polewright.codes import Message
from polewright.documents.brief_file import BriefDocument
from polewright.documents.design import Design
from polewright.documents.document import Document
from polewright.documents.shelf import ply_record
from polewright.errors import DesignError, NotConverged, PolewrightError
from polewright.search import (
    MODEL,
    Brief,
    Conflict,
    FoundPole,
    Ledger,
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

__all__ = ["SECONDS", "Finder", "StoppedEarly"]

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
            raise DesignError("document", repr(document.document), Message("want.brief_or_design"))
        self.values: SearchValues = search_values(document)
        self.is_stopped = False
        self._on, self._say, self._is_halted = executor, say or (lambda _: None), stop or (lambda: False)
        self._keep = keep or (lambda _: None)
        self._known: dict[Any, Any] = {}
        self._wanted: dict[Any, Any] = {}
        self._links: Links | None = None
        self._result: PoleSearch | None = None
        self._at: Brief = self.values.brief
        self._about = document.content_hash()
        self._front: list[tuple[FoundPole, float]] = []
        self._offers: tuple[Offer, ...] = ()
        self._conflict: Conflict | None = None
        self._estimate = Message("find.no_estimate")

    def estimate(self, seconds: float = SECONDS) -> Message:
        """How many candidates there are and how long it will take.

        Raises
        ------
        DesignError : it is expected to take more than `seconds`; "want.shorter_search" has the time that it asks for.
        """
        walls, fits = self.values.shop.walls, self._fits()
        # a least wall that a few plies cannot make would leave the estimate without its small cases
        guess = estimate(replace(walls, rules=replace(walls.rules, least_wall=0.0)))
        time = guess.seconds * fits
        self._estimate = Message(
            "find.estimate", candidates=candidates_in_all(walls), fits=fits, time=_time_message(time)
        )
        if time > seconds:
            raise DesignError("search", self._estimate, Message("want.shorter_search", seconds=_round_up(time)))
        return self._estimate

    def _fits(self) -> int:
        """Pairs of bars, and last bars, whose clearance some wall could make."""
        shop, base = self.values.shop, brief_base(self.values.brief, self.values.shop)
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
        values, kept = self.values, None
        base = brief_base(values.brief, values.shop)
        self._wanted = fronts_wanted(values.shop, base)
        if state is not None:
            self._at, kept, fronts = state_from(state, self._about)
            self._known |= {} if fronts is None else fronts_of(fronts, self._wanted)
        self._links = links_of(
            values.shop, base, known=self._known, executor=self._on, progress=self._walls_done, stop=self._is_halted
        )
        self._settle(self._best(self._at, None if kept is None else state_of(kept, self._at, values.shop, self._links)))

    def go_on(self) -> None:
        """Go on with a search that was stopped, from where it stood; nothing where it was at its end."""
        result = self._result
        if result is None or result.state is None:
            return
        self.is_stopped = False
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
        if brief == self.values.brief or state.incumbent.best is not None:
            self._keep(lambda: self._bytes(brief, state))

    def _walls_done(self, done: int, of: int) -> None:
        self._say(Progress("walls", done=done, of=of))
        self._keep(lambda: self._bytes(self._at, None))
        if self._is_halted() and done < of:
            raise StoppedEarly("search", Message("job.step.walls", done=done, of=of), Message("find.stopped_early"))

    def _best(self, brief: Brief, state: SearchState | None = None, *, is_kept: bool = True) -> PoleSearch:
        result = best_pole(
            brief,
            self.values.shop,
            links=self._links,
            progress=self._say,
            stop=self._is_halted,
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
                raise StoppedEarly("search", None, Message("find.stopped_early"))
            self._say(Progress("wishes"))
            self._conflict = why_not(self.values.brief, self.values.shop, known=self._known, stop=self._is_halted)
            return
        for _ in range(_ROUNDS):
            if result.best is None or self.is_stopped:
                break
            moved = moved_limits(self.values, self._at, result.best)
            if moved is None:
                break
            result = self._best(moved)
            if result.best is not None:
                self._at, self._result = moved, result

    def trade(self) -> None:
        """The poles on the trade between droop, mass and cost."""
        if self._result is None or self._result.best is None:
            return
        self._say(Progress("trade"))
        poles, gaps = pole_front(self.values.brief, self.values.shop, links=self._links, stop=self._is_halted)
        for pole, gap in zip(poles, gaps, strict=True):
            if not any(_is_near(pole, other) for other, _ in self._front):
                self._front.append((pole, float(gap)))

    def buy(self) -> None:
        """What a mandrel, a material, a wider base, money or one more section would buy, by the droop it saves.

        Measured against the stiffest pole within the brief; a brief that wants a flex wants no droop saved.
        """
        if self._result is None or self._result.best is None:
            return
        if self.values.brief.flex_wanted is not None:
            return
        values, further = self.values, self.values.document.further
        now = (
            self._result.best
            if values.brief.aim == "droop"
            else self._best(replace(values.brief, aim="droop"), is_kept=False).best
        )
        if now is None:
            return
        self._say(Progress("offers"))
        bars = [
            bar_of(m, values.document, values.shop.walls, to(now.length, "mm"), f"further.mandrels[{i}]")
            for i, m in enumerate(further.mandrels)
        ]
        plies = [
            Option(ply_record(m, field=f"further.materials[{i}]").ply, 0.0) for i, m in enumerate(further.materials)
        ]
        self._offers = offers(
            values.brief,
            values.shop,
            now,
            bars=bars,
            plies=plies,
            base=self._wider(now),
            cost=further.cost,
            known=self._known,
            stop=self._is_halted,
        )

    def _wider(self, now: FoundPole) -> float:
        """[m] by which the base is eased: as said, or as much as the widest bar needs for the present butt's wall."""
        said = self.values.document.further.base_mm
        if said is not None:
            return si("base_mm", said)
        shop = self.values.shop
        wall = now.base - shop.bars[now.bars[-1]].bore
        return max(max(b.bore for b in shop.bars) + wall - self.values.brief.base_at_most, si("base_mm", 1.0))

    def answer(self) -> FindAnswer:
        """All that was found so far.

        Raises
        ------
        StoppedEarly : nothing was found yet.
        """
        result, values, conflict = self._result, self.values, self._conflict
        if result is None:
            raise StoppedEarly("search", None, Message("find.stopped_early"))
        gap = result.gap if isfinite(result.gap) else None
        best = None if result.best is None else found_design(values, result.best, gap=gap)
        return FindAnswer(
            name=values.document.name,
            currency=values.document.setting.currency,
            aim=values.brief.aim,
            best=best,
            is_complete=result.is_complete,
            model=MODEL,
            counts=_counts(result),
            estimate=self._estimate,
            notes=self._notes(None if best is None else best.design),
            front=self._trade_poles(),
            money=() if self._links is None else money_of(values, self._plain(result.best), self._links),
            offers=tuple(offer_of(values, o) for o in self._offers),
            conflict=conflict_of(conflict),
            is_hopeless=conflict is not None and conflict.is_hopeless,
            ways=() if conflict is None else tuple(way_of(values, r) for r in conflict.relaxations),
        )

    def _trade_poles(self) -> tuple[FoundDesign, ...]:
        """The poles of the trade, but for those whose posture the check does not find."""
        found = []
        for number, (pole, gap) in enumerate(self._front, 1):
            design = design_of(self.values, pole, name=f"{self.values.document.name} {number}")
            with suppress(NotConverged):
                found.append(found_design(self.values, pole, gap=max(gap, 0.0), design=design))
        return tuple(found)

    def _plain(self, best: FoundPole | None) -> FoundPole | None:
        """The cheapest pole of the trade that is not much softer than the best: where money has not been spent yet."""
        if best is None:
            return None
        near = [p for p, _ in self._front if p.droop <= _PLAIN * best.droop]
        return min(near, key=lambda p: p.cost, default=best)

    def _notes(self, best: Design | None) -> tuple[Message, ...]:
        values = self.values
        notes = [Message("find.note.not_used", reason=reason) for reason in values.left_out]
        if values.brief.flex_wanted is not None:
            notes.append(Message("find.note.no_offers"))
        if values.document.setting.overlaps == "touching":
            notes.append(Message("find.note.overlaps"))
        return (*notes, *(shortages(values.document, best) if best is not None else ()))


def _is_near(pole: FoundPole, other: FoundPole) -> bool:
    """Whether nobody could tell the two apart by droop, mass and cost."""
    return all(abs(pole.figure(n) - other.figure(n)) <= _SAME * other.figure(n) for n in ("droop", "mass", "cost"))


def _counts(result: PoleSearch) -> tuple[CountAnswer, ...]:
    return tuple(
        CountAnswer(_message(led.what), led.in_all, led.evaluated, _excluded(led), led.left)
        for led in result.certificate.ledgers
    )


def _excluded(ledger: Ledger) -> tuple[tuple[Message, int], ...]:
    return tuple((_message(why), n) for why, n in ledger.excluded)


def _message(name: Message | str) -> Message:
    assert isinstance(name, Message)  # of whole poles
    return name


def _time_message(seconds: float) -> Message:
    """A time as a person tells it."""
    code, unit = next((code, unit) for code, most, unit in _TIMES if seconds < most)
    return Message(code, count=max(round(seconds / unit), 1))


_TIMES = (
    ("find.time.seconds", 90.0, 1.0),
    ("find.time.minutes", 5400.0, 60.0),
    ("find.time.hours", 2e5, 3600.0),
    ("find.time.days", inf, 86400.0),
)


def _round_up(seconds: float) -> float:
    return 10.0 ** len(f"{seconds:.0f}") if seconds > 1e6 else 100.0 * (seconds // 100.0 + 1.0)
