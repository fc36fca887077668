"""The wall place: one section's stack, what each ply gives, the section's figures and its checks."""

from collections.abc import Callable
from dataclasses import dataclass

from polewright.drawings.wall import wall_drawing
from polewright.web.page_state import CheckedDesign, PageState
from polewright.web.place_kind import PlaceKind
from polewright.web.why import Why, why_section
from polewright.words import Reader
from polewright.words.figures import Figure, figure, money
from polewright.words.findings import FindingText, finding_text
from polewright.workshop import RING_WIDTH, Finding, SectionAnswer, ply_shares

__all__ = ["PLACE", "PlyRow", "SectionRow", "WallView", "section_findings", "wall_view"]


@dataclass(frozen=True, slots=True)
class PlyRow:
    """One ply in the table; its shares [-] of the wall's stiffness along and around and of its mass."""

    place: int
    prepreg: str
    angle: str
    turns: str
    thickness: str
    note: str
    along: float
    around: float
    mass: float
    first: bool
    last: bool


@dataclass(frozen=True, slots=True)
class SectionRow:
    """One figure of the section with its change and its why."""

    key: str
    name: str
    figure: Figure
    why: Why


@dataclass(frozen=True, slots=True)
class WallView:
    """All that the wall place shows."""

    number: int
    sections: int
    where: str
    plies: tuple[PlyRow, ...]
    prepregs: tuple[tuple[str, str], ...]
    cut: str
    rows: tuple[SectionRow, ...]
    findings: tuple[FindingText, ...]
    length_unit: str
    shape: str


def wall_view(state: PageState) -> WallView:
    """The wall place of the section in state."""
    number, now, reader = state.section, state.now, state.reader
    data, section = now.design.sections[number - 1], now.work.sections[number - 1]
    answer = now.check.sections[number - 1]
    sections = len(now.design.sections)
    return WallView(
        number=number,
        sections=sections,
        where=reader.say("page.wall.where", section=number, of=sections, bore=answer.bore_butt, mandrel=answer.mandrel),
        plies=_plies(now, number, reader),
        prepregs=tuple((m.id, m.description) for m in now.design.materials),
        cut=wall_drawing(section.stack, reader, width=150.0, stripe=149.0),
        rows=_rows(state),
        length_unit=reader.unit("length"),
        findings=tuple(finding_text(f, reader) for f in section_findings(now, number)),
        shape=f"{number}:{len(data.stack)}:" + ",".join(m.id for m in now.design.materials),
    )


def section_findings(checked: CheckedDesign, number: int) -> tuple[Finding, ...]:
    """Checks of this section's wall, clamp and joints; those to look at first."""
    own = [f for f in checked.check.findings if number in f.subjects.sections]
    return tuple(sorted((f for f in own if f.kind != "brief" and f.code != "lifted"), key=lambda f: f.holds))


def _plies(checked: CheckedDesign, number: int, reader: Reader) -> tuple[PlyRow, ...]:
    data, section = checked.design.sections[number - 1], checked.work.sections[number - 1]
    shares, last = ply_shares(section.stack, checked.check.sections[number - 1].bore_butt), len(data.stack) - 1
    return tuple(
        PlyRow(
            place=i,
            prepreg=ply.prepreg,
            angle=f"{ply.angle_deg:g}",
            turns=f"{ply.turns:g}",
            thickness=reader.bare(section.stack.plies[i].thickness, "length", 2, 4),
            note=ply.note,
            along=shares[i].along,
            around=shares[i].around,
            mass=shares[i].mass,
            first=i == 0,
            last=i == last,
        )
        for i, ply in enumerate(data.stack)
    )


@dataclass(frozen=True, slots=True)
class _Shown:
    """One figure of a section on the page: key of its why, name, how it is read, quantity, decimals."""

    key: str
    name: str
    read: Callable[[SectionAnswer], float]
    quantity: str
    digits: tuple[int, int]


_FIGURES = (
    _Shown("along", "along", lambda s: s.bending_EI, "bending", (0, 0)),
    _Shown("twist", "twist", lambda s: s.twist_GJ, "bending", (1, 1)),
    _Shown("ring", "ring", lambda s: s.ring, "stiffness", (0, 0)),
    _Shown("wall", "wall", lambda s: s.wall, "length", (3, 4)),
    _Shown("wall", "outside", lambda s: s.outside_butt, "length", (2, 3)),
    _Shown("mass", "mass", lambda s: s.mass, "mass", (0, 2)),
)


def _rows(state: PageState) -> tuple[SectionRow, ...]:
    now, was = state.check.sections[state.section - 1], state.was(state.section)
    old = None if state.saved is None or was is None else state.saved.check.sections[was - 1]
    rows = [
        *(_row(state, shown, now, old) for shown in _FIGURES),
        _clear(state),
        _release(state, now, old),
        _window(state, now, old),
        _cost(state, now, old),
    ]
    return tuple(row for row in rows if row is not None)


def _named(state: PageState, key: str, name: str, shown: Figure, **values: object) -> SectionRow:
    text = state.reader.say(f"figure.section.{name}", **values)
    return SectionRow(key, text, shown, why_section(state.now, state.section, key, state.reader))


def _row(state: PageState, shown: _Shown, now: SectionAnswer, old: SectionAnswer | None) -> SectionRow:
    before = None if old is None else shown.read(old)
    value = figure(shown.read(now), shown.quantity, state.reader, *shown.digits, before=before)
    return _named(state, shown.key, shown.name, value, width=RING_WIDTH)


def _release(state: PageState, now: SectionAnswer, old: SectionAnswer | None) -> SectionRow:
    grips = now.grips_mandrel
    before = None if old is None or grips else old.release_gap
    shown = figure(abs(now.release_gap), "length", state.reader, 3, 4, before=before)
    return _named(state, "release", "grips" if grips else "release", shown)


def _clear(state: PageState) -> SectionRow | None:
    """Clearance in the next section at the end of its travel."""
    if state.section > len(state.check.joints):
        return None
    place, was, before = state.section - 1, state.was(state.section), None
    if state.saved is not None and was is not None and state.was(state.section + 1) == was + 1:
        before = state.saved.check.joints[was - 1].clearance_drawn
    shown = figure(state.check.joints[place].clearance_drawn, "length", state.reader, 2, 4, before=before)
    return _named(state, "clear", "clear", shown, section=state.section + 1)


def _window(state: PageState, now: SectionAnswer, old: SectionAnswer | None) -> SectionRow | None:
    if now.window is None:
        return None
    reader, window = state.reader, now.window
    before = None if old is None or old.window is None else old.window.most
    change = figure(window.most, "force", reader, 0, before=before)
    code = "headline.window.range" if window.is_open else "figure.section.window.none"
    text = reader.say(code, least=window.least, most=window.most)
    return _named(state, "window", "window", Figure(text, change.unit, change.change))


def _cost(state: PageState, now: SectionAnswer, old: SectionAnswer | None) -> SectionRow:
    is_told = state.saved is not None and state.saved.check.pole.currency == state.check.pole.currency
    before = old.material_cost if old is not None and is_told else None
    shown = money(now.material_cost, state.check.pole.currency, state.reader, 2, before=before)
    return _named(state, "cost", "cost", shown)


PLACE = PlaceKind("design", 2, lambda request: {"view": wall_view(request.state)})
