"""A design document into the values of the core: plies, mandrels, sections, fits and the pole as a beam."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from typing import Self

from polewright.bench.joint import stiffness_at
from polewright.codes import Message
from polewright.documents.design import Design, JointData, MandrelData, SectionData
from polewright.documents.files import DocumentError, Fault
from polewright.documents.material import Material
from polewright.documents.shelf import ply_record
from polewright.errors import DesignError
from polewright.materials.library import library
from polewright.materials.prepreg import PlyRecord
from polewright.pole.nest import Fit, fit
from polewright.pole.pole import Joint, Pole
from polewright.pole.section import Mandrel, Section, tube_of
from polewright.units import si
from polewright.wall.stack import Stack, StackPly

__all__ = ["Workpiece", "draft_workpiece", "joint_stiffness", "workpiece"]


@dataclass(frozen=True, slots=True, eq=False)
class Workpiece:
    """A design as the core sees it; sections, joints and fits are listed from the tip.

    A pair that does not go in, of a draft, stands in `misfits`; its joint counts as one without play.
    """

    records: dict[str, PlyRecord]
    mandrels: dict[str, Mandrel]
    sections: tuple[Section, ...]
    fits: tuple[Fit, ...]
    pole: Pole

    @property
    def misfits(self) -> tuple[Fault, ...]:
        """One for each section that does not slide into its neighbour, tip first; none of a finished design."""
        return tuple(
            Fault(
                (
                    f"sections[{i}].outside",
                    Message("bound.diameter", value=between.inner),
                    Message("want.below_bore_of_next", bore=between.outer, section=i + 2),
                )
            )
            for i, between in enumerate(self.fits)
            if not between.goes_in
        )

    def finished(self) -> Self:
        """These values, of a design that is no draft any more: what is cut, sold, sampled or saved is made from them.

        Raises
        ------
        DocumentError : a section does not slide into its neighbour.
        """
        if self.misfits:
            raise DocumentError(list(self.misfits))
        return self


def workpiece(design: Design) -> Workpiece:
    """All values of a finished design.

    Raises
    ------
    DocumentError : as `draft_workpiece`; or a section that does not slide into its neighbour.
    """
    return draft_workpiece(design).finished()


@lru_cache(maxsize=16)
def draft_workpiece(design: Design) -> Workpiece:
    """All values of a design under way, whose sections may not fit each other yet.

    The last few are remembered, as every face asks for them after the check did.

    Raises
    ------
    DocumentError : a name that is not on the shelf or rack, a tube longer than its mandrel, a ply that cannot be.
    """
    records = {m.id: _record(m, f"materials[{i}]") for i, m in enumerate(design.materials)}
    mandrels = {m.id: _mandrel(m, f"mandrels[{i}]") for i, m in enumerate(design.mandrels)}
    _refuse_unknown(design)
    sections = tuple(_section(design, i, s, records, mandrels) for i, s in enumerate(design.sections))
    fits = tuple(_fit(design, sections, i) for i in range(len(sections) - 1))
    return Workpiece(records, mandrels, sections, fits, _pole(design, sections, fits))


def _record(material: Material, field: str) -> PlyRecord:
    return ply_record(material, field=field)


@contextmanager
def _placed(field: str) -> Iterator[None]:
    """A refusal of the core, told with its place in the document."""
    try:
        yield
    except DesignError as fault:
        place = f"{field}.{fault.field}" if fault.field else field
        raise DocumentError([Fault.of(fault, place)]) from fault


def _refuse_unknown(design: Design) -> None:
    """A mandrel, prepreg or count of sections that the design itself does not have."""
    shelf, rack = [m.id for m in design.materials], [m.id for m in design.mandrels]
    faults = []
    for i, section in enumerate(design.sections):
        if section.mandrel not in rack:
            faults.append(
                Fault((f"sections[{i}].mandrel", repr(section.mandrel), Message("want.one", choices=tuple(rack))))
            )
        for j, ply in enumerate(section.stack):
            if ply.prepreg not in shelf:
                faults.append(
                    Fault(
                        (
                            f"sections[{i}].stack[{j}].prepreg",
                            repr(ply.prepreg),
                            Message("want.one", choices=tuple(shelf)),
                        )
                    )
                )
    for i, wish in enumerate(design.brief.droop):
        if wish.out > len(design.joints):
            faults.append(
                Fault((f"brief.droop[{i}].out", str(wish.out), Message("want.sections_out", most=len(design.joints))))
            )
    if faults:
        raise DocumentError(faults)


@lru_cache(maxsize=96)
def _mandrel(data: MandrelData, field: str) -> Mandrel:
    with _placed(field):
        expansion = (
            library().mandrel_material(data.material).alpha
            if data.cte_1e6_K is None
            else si("cte_1e6_K", data.cte_1e6_K)
        )
        return Mandrel(
            name=data.id,
            station=[si("at_mm", p.at_mm) for p in data.profile],  # type: ignore[arg-type]
            diameter=[si("diameter_mm", p.diameter_mm) for p in data.profile],  # type: ignore[arg-type]
            expansion=expansion,
        )


def _section(
    design: Design, i: int, data: SectionData, records: dict[str, PlyRecord], mandrels: dict[str, Mandrel]
) -> Section:
    mandrel = mandrels[data.mandrel]
    rise = si("room_C", design.setting.room_C) - si("stress_free_C", design.setting.stress_free_C)
    return _rolled(data, tuple(records[w.prepreg] for w in data.stack), mandrel, rise, f"sections[{i}]")


@lru_cache(maxsize=96)
def _rolled(data: SectionData, records: tuple[PlyRecord, ...], mandrel: Mandrel, rise: float, field: str) -> Section:
    """One section: made once, as an edit changes one of a pole's five; its records and mandrel are kept ones too."""
    length, place = si("length_mm", data.length_mm), si("place_mm", data.place_mm)
    if place + length > mandrel.length + 1e-9:
        raise DocumentError.at(
            f"{field}.length_mm",
            Message("given.length_at_place", length=length, place=place),
            Message("want.within_mandrel", mandrel=mandrel.name, length=mandrel.length),
        )
    plies = tuple(
        StackPly(record.ply, si("angle_deg", w.angle_deg), w.turns)
        for w, record in zip(data.stack, records, strict=True)
    )
    with _placed(field):
        return Section(
            stack=Stack(plies),
            length=length,
            mandrel=mandrel,
            place=place,
            rise=rise,
            coat=si("coat_mm", data.coat_mm),
            bore=None if data.bore_mm is None else si("bore_mm", data.bore_mm),
        )


_tube = lru_cache(maxsize=96)(tube_of)
_known_fit = lru_cache(maxsize=96)(fit)


def _fit(design: Design, sections: tuple[Section, ...], i: int) -> Fit:
    joint = design.joints[i]
    shorter = min(sections[i].length, sections[i + 1].length)
    if si("overlap_mm", joint.overlap_mm) >= shorter:
        raise DocumentError.at(
            f"joints[{i}].overlap_mm",
            Message("bound.length", value=si("overlap_mm", joint.overlap_mm)),
            Message("want.below_shorter_tube", shorter=shorter),
        )
    if si("proud_mm", joint.proud_mm) >= shorter:
        raise DocumentError.at(
            f"joints[{i}].proud_mm",
            Message("bound.length", value=si("proud_mm", joint.proud_mm)),
            Message("want.below_shorter_tube", shorter=shorter),
        )
    return _known_fit(
        sections[i],
        sections[i + 1],
        overlap=si("overlap_mm", joint.overlap_mm),
        proud=si("proud_mm", joint.proud_mm),
        ridge=si("seam_ridge_mm", design.setting.seam_ridge_mm),
    )


def joint_stiffness(joint: JointData) -> float:
    """[N m/rad] at the joint's overlap, from that at the overlap it was measured at: it grows with the square.

    Source
    ------
    `polewright.bench.joint.stiffness_at`.
    """
    own = si("stiffness_kN_m_rad", joint.stiffness_kN_m_rad)
    if joint.stiffness_overlap_mm is None:
        return own
    return stiffness_at(si("overlap_mm", joint.overlap_mm), own, si("overlap_mm", joint.stiffness_overlap_mm))


def _pole(design: Design, sections: tuple[Section, ...], fits: tuple[Fit, ...]) -> Pole:
    joints = []
    for data, between in zip(design.joints, fits, strict=True):
        joints.append(
            Joint(
                overlap=si("overlap_mm", data.overlap_mm),
                proud=si("proud_mm", data.proud_mm),
                stiffness=joint_stiffness(data),
                clearance=max(between.at_overlap, 0.0),
                centring=data.centring,
                mass=si("clamp_g", data.clamp_g),
                pivot=data.pivot,
                play=data.play,
            )
        )
    with _placed("pole"):
        return Pole(
            tubes=tuple(_tube(s) for s in sections),
            joints=tuple(joints),
            tip_mass=si("tip_fitting_g", design.tip_fitting_g),
            overlaps=design.setting.overlaps,
        )
