"""What a place looks at: the design at hand with its figures and drawing, beside the saved revision's."""

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from difflib import SequenceMatcher
from threading import Lock
from typing import Any, TypeVar

from polewright.codes import Message
from polewright.drawings.pole import PoleScene, pole_drawing
from polewright.errors import PolewrightError
from polewright.words import Reader
from polewright.workshop import Check, Design, Workpiece, Workshop, draft_workpiece, in_the_test_of, is_same_load
from polewright.workshop.drafts import WorkingPole
from polewright.workshop.scene import pole_scene, with_ghost

__all__ = ["CheckedDesign", "PageState", "PageStates"]

_T = TypeVar("_T")


@dataclass(frozen=True, slots=True, eq=False)
class CheckedDesign:
    """A design with its core values and all its figures."""

    design: Design
    work: Workpiece
    check: Check


@dataclass(frozen=True, slots=True, eq=False)
class PageState:
    """One look at a pole: now and as saved, the scene drawn, how it is shown.

    saved : the saved revision in the test of the design at hand, for a change of the test is no change of the pole;
        None where nothing has changed, or where that revision cannot be tested so.
    """

    table: WorkingPole
    now: CheckedDesign
    saved: CheckedDesign | None
    scene: PoleScene
    reader: Reader
    section: int
    out: int

    @property
    def design(self) -> Design:
        """The design at hand."""
        return self.now.design

    @property
    def check(self) -> Check:
        """Its figures and findings."""
        return self.now.check

    def was(self, number: int) -> int | None:
        """The number that a section, counted from 1 at the tip, had in the saved revision; None if it is new.

        Where sections were put in or taken out, they are known again by their mandrels.
        """
        if self.saved is None:
            return None
        now, old = ([section.mandrel for section in each.design.sections] for each in (self.now, self.saved))
        if len(now) == len(old):
            return number
        blocks = SequenceMatcher(None, old, now, autojunk=False).get_matching_blocks()
        return next((number - b.b + b.a for b in blocks if b.b < number <= b.b + b.size), None)

    def drawing(self, *, phone: bool = False) -> str:
        """The pole as SVG."""
        return pole_drawing(self.scene, self.reader, phone=phone)


class PageStates:
    """Makes page states; remembers core values and scenes by what the design says, so that a look costs little."""

    def __init__(self, workshop: Workshop, most: int = 24) -> None:
        self._workshop, self._most = workshop, most
        self._known: OrderedDict[tuple[Any, ...], Any] = OrderedDict()
        self._lock = Lock()

    def checked(self, design: Design) -> CheckedDesign:
        """The design with its figures.

        Raises
        ------
        DesignError : it cannot be even a draft, or not computed.
        """

        def make() -> CheckedDesign:
            return CheckedDesign(design, draft_workpiece(design), self._workshop.check_draft(design))

        return self._once(("checked", design), make)

    def in_same_test(self, other: Design, design: Design) -> CheckedDesign | None:
        """Another design with its figures in the test of `design`; None where it cannot be tested so."""
        alike = in_the_test_of(other, design)
        if not is_same_load(alike, design):
            return None
        try:
            return self.checked(alike)
        except PolewrightError:
            if alike is other:
                raise
            return None

    def of(
        self, table: WorkingPole, reader: Reader, *, section: int | None = None, out: int | None = None
    ) -> PageState:
        """The state of the pole on the table; `section` counts from 1 at the tip, `out` of 0 means all drawn out."""
        now = self.checked(table.design)
        saved = None if table.is_saved else self.in_same_test(table.saved.design, table.design)
        joints, sections = len(now.design.joints), len(now.design.sections)
        drawn = joints if out is None or not 0 < out <= joints else out
        chosen = max(sections - 1, 1) if section is None else min(max(section, 1), sections)
        scene = self._scene(now, drawn)
        if saved is not None:
            before = len(saved.design.joints)
            as_drawn = before if drawn == joints else min(drawn, before)
            code = "scene.revision" if saved.design is table.saved.design else "scene.revision.in_same_test"
            name = Message(code, revision=table.saved.card.number)
            scene = with_ghost(scene, self._scene(saved, as_drawn), name)
        return PageState(table, now, saved, scene, reader, chosen, drawn)

    def _scene(self, checked: CheckedDesign, out: int) -> PoleScene:
        def make() -> PoleScene:
            return pole_scene(checked.design, checked.work, out=out)

        return self._once(("scene", checked.design, out), make)

    def _once(self, key: tuple[Any, ...], make: Callable[[], _T]) -> _T:
        with self._lock:
            if key in self._known:
                self._known.move_to_end(key)
                found: _T = self._known[key]
                return found
        made = make()
        with self._lock:
            self._known[key] = made
            while len(self._known) > self._most:
                self._known.popitem(last=False)
        return made
