"""Whether a pole meets its brief: every wish beside its figure."""

from collections.abc import Iterator

from polewright.answers.findings.finding import Finding, Subjects, verdict
from polewright.answers.trestles import bent_on_bench, head_of
from polewright.answers.wishes import WISHES, Figures, Wish
from polewright.codes import Message
from polewright.conventions.gravity import GRAVITY
from polewright.documents.brief import DroopWish
from polewright.documents.design import Design
from polewright.documents.values import Workpiece
from polewright.units import si

__all__ = ["brief_findings"]

STEP = 0.1  # [kg] by which the load grows where flex is wished


def brief_findings(design: Design, work: Workpiece, figures: Figures) -> Iterator[Finding]:
    """One finding a wish, in the order of the table; wishes on droop and flex last."""
    for wish in WISHES:
        limit = wish.limit(design.brief)
        if limit is not None:
            yield _limit(wish, limit, figures)
    for place, droop in enumerate(design.brief.droop):
        yield _droop(design, work, place, droop)


def _limit(wish: Wish, limit: float, figures: Figures) -> Finding:
    value = wish.figure(figures)
    holds = value >= limit if wish.is_least else value <= limit
    return Finding(
        code=wish.code,
        kind="brief",
        verdict=verdict(holds),
        subjects=Subjects(sections=() if wish.section is None else (wish.section(figures),)),
        value=value,
        limit=limit,
        quantity=wish.quantity,
        details={"is_least": wish.is_least, "currency": figures.pole.currency},
        remedies=() if holds else tuple(Message(code) for code in wish.remedies),
    )


def _droop(design: Design, work: Workpiece, place: int, wish: DroopWish) -> Finding:
    joints = len(work.pole.joints)
    out, head = wish.out or joints, head_of(design, wish.tip_total_g)
    loaded = bent_on_bench(design, work.pole, out, head=head).tip_droop
    details: dict[str, object] = {"out": out, "joints": joints, "load": si("tip_total_g", wish.tip_total_g)}
    if wish.at_most_mm is not None:
        limit = si("at_most_mm", wish.at_most_mm)
        holds = loaded <= limit
        remedies = ("wish.remedy.stiffer_fibre", "wish.remedy.wider_mandrels", "wish.remedy.longer_overlap")
        return Finding(
            code="wish.droop",
            kind="brief",
            verdict=verdict(holds),
            subjects=Subjects(wish=place),
            value=loaded,
            limit=limit,
            quantity="length",
            details={**details, "is_least": False},
            remedies=() if holds else tuple(Message(code) for code in remedies),
        )
    assert wish.wanted_mm_per_100g is not None
    more = bent_on_bench(design, work.pole, out, head=head + STEP).tip_droop
    value, wanted = (more - loaded) / (STEP * GRAVITY), si("wanted_mm_per_100g", wish.wanted_mm_per_100g)
    off, within = value / wanted - 1.0, si("within_pct", wish.within_pct)
    holds = abs(off) <= within
    remedy = "wish.remedy.softer" if off < 0.0 else "wish.remedy.stiffer"
    return Finding(
        code="wish.flex",
        kind="brief",
        verdict=verdict(holds),
        subjects=Subjects(wish=place),
        value=value,
        limit=wanted,
        quantity="flex",
        details={**details, "off": off, "within": within},
        remedies=() if holds else (Message(remedy),),
    )
