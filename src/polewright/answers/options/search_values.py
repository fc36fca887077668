"""A brief document as the values of the search."""

from dataclasses import dataclass, replace
from math import ceil

from polewright.answers.options.rack import bar_of, build_of
from polewright.answers.options.refusals import placed
from polewright.answers.options.search_plies import bears_of, option_of, rules_of, unusable
from polewright.answers.options.wishes import limits_of, wish_places
from polewright.codes import Message
from polewright.documents.brief_file import BriefDocument, RolledPly
from polewright.documents.files import DocumentError, Fault
from polewright.documents.shelf import ply_record
from polewright.search import FINE_SLICES, Brief, Options, Shop
from polewright.units import si

__all__ = ["SearchValues", "search_values"]


@dataclass(frozen=True, slots=True, eq=False)
class SearchValues:
    """What goes into the search, and why prepregs stay outside it, `left_out`.

    droop_at, flex_at : which of the brief's droop wishes the search's own droop and flex stand for, if any; droops_at,
    flexes_at : which ones its further droops and flexes stand for.
    """

    document: BriefDocument
    brief: Brief
    shop: Shop
    rolled: tuple[RolledPly, ...]
    left_out: tuple[Message, ...]
    droop_at: int | None = None
    flex_at: int | None = None
    droops_at: tuple[int, ...] = ()
    flexes_at: tuple[int, ...] = ()


def search_values(document: BriefDocument) -> SearchValues:
    """The values of the search.

    Raises
    ------
    DocumentError : no material, mandrel or ply to roll; a name that is not on the shelf; rules that contradict.
    """
    _refuse_empty(document)
    gone = unusable(document)
    rolled = tuple(r for r in document.rolls.plies if r.prepreg not in gone)
    if not rolled:
        raise DocumentError.at("rolls.plies", "", Message("want.usable_prepreg", reasons=tuple(gone.values())))
    plies = {m.id: ply_record(m, field=f"materials[{i}]").ply for i, m in enumerate(document.materials)}
    with placed("rolls"):
        walls = Options(
            tuple(option_of(r, plies[r.prepreg]) for r in rolled),
            document.rolls.most_plies,
            0.03,
            order=document.rolls.order,
            rules=rules_of(document),
            utilisation=document.setting.utilisation,
            bears=bears_of(document),
        )
    sections = _sections(document)
    length = document.section_length_mm or _equal_length(document, max(sections))
    bars = tuple(bar_of(m, document, walls, length, f"mandrels[{i}]") for i, m in enumerate(document.mandrels))
    wishes = wish_places(document, sections)
    with placed("brief"):
        brief = limits_of(document, sections, wishes)
    with placed("joint"):
        build = build_of(document, length)
        shop = Shop(walls, bars, replace(build, slices=FINE_SLICES) if brief.figures else build)
    if shop.build.prop >= brief.reach:
        want = Message("want.below_search_reach", reach=brief.reach)
        raise DocumentError.at("setting.prop_mm", f"{document.setting.prop_mm:g}", want)
    return SearchValues(
        document, brief, shop, rolled, tuple(gone.values()), wishes.droop, wishes.flex, wishes.droops, wishes.flexes
    )


def _refuse_empty(document: BriefDocument) -> None:
    faults = []
    if not document.materials:
        faults.append(Fault(("materials", "", Message("want.search_materials"))))
    if not document.mandrels:
        faults.append(Fault(("mandrels", "", Message("want.search_mandrels"))))
    if not document.rolls.plies:
        faults.append(Fault(("rolls.plies", "", Message("want.search_plies"))))
    shelf = [m.id for m in document.materials]
    for room, listed in (("materials", shelf), ("mandrels", [m.id for m in document.mandrels])):
        faults += [
            Fault((f"{room}[{i}].id", repr(name), Message("want.own_id")))
            for i, name in enumerate(listed)
            if name in listed[:i]
        ]
    names = [(f"rolls.plies[{i}].prepreg", r.prepreg) for i, r in enumerate(document.rolls.plies)]
    names += [(f"stock[{i}].prepreg", s.prepreg) for i, s in enumerate(document.stock)]
    if shelf:
        faults += [
            Fault((field, repr(name), Message("want.one", choices=tuple(shelf))))
            for field, name in names
            if name not in shelf
        ]
    if document.brief.reach_at_least_mm is None:
        faults.append(Fault(("brief.reach_at_least_mm", "", Message("want.search_reach"))))
    if faults:
        raise DocumentError(faults)


def _sections(document: BriefDocument) -> tuple[int, ...]:
    """How many sections there may be: as said, or as tubes of one length need."""
    reach, length = document.brief.reach_at_least_mm, document.section_length_mm
    assert reach is not None
    overlap = document.joint.overlap_mm
    if length is None:
        return document.sections or (2, 3, 4, 5, 6)
    if length <= overlap:
        want = Message("want.above_overlap", overlap=si("overlap_mm", overlap))
        raise DocumentError.at("section_length_mm", f"{length:g}", want)
    fewest = max(ceil((reach - overlap) / (length - overlap) - 1e-9), 1)
    allowed = [n for n in document.sections or range(1, 11) if n >= fewest]
    if not allowed:
        most = Message("search.sections_at_most", most=max(document.sections or (10,)))
        want = Message("want.tubes_to_reach", count=fewest, length=si("length_mm", length), reach=si("reach_mm", reach))
        raise DocumentError.at("sections", most, want)
    return (min(allowed),)


def _equal_length(document: BriefDocument, sections: int) -> float:
    reach = document.brief.reach_at_least_mm
    assert reach is not None
    return (reach + (sections - 1) * document.joint.overlap_mm) / sections
