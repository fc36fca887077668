"""The bars of the rack, and how the tubes of a pole are joined."""

import numpy as np

from polewright.answers.options.refusals import placed
from polewright.codes import Message
from polewright.documents.brief_file import BriefDocument
from polewright.documents.design import MandrelData
from polewright.documents.files import DocumentError
from polewright.documents.values import joint_stiffness
from polewright.materials.library import library
from polewright.pole.section import Mandrel, Section
from polewright.search import Bar, Build, Options
from polewright.units import si
from polewright.wall.stack import Stack

__all__ = ["bar_of", "build_of"]


def _taper(mandrel: MandrelData) -> float:
    """Rise of diameter along the mandrel, a length a length."""
    first, last = mandrel.profile[0], mandrel.profile[-1]
    return (last.diameter_mm - first.diameter_mm) / (last.at_mm - first.at_mm)


def bar_of(mandrel: MandrelData, document: BriefDocument, walls: Options, length_mm: float, field: str) -> Bar:
    """The bore that a usual wall of these options has half-way along the tube, after cure."""
    with placed(field):
        expansion = (
            library().mandrel_material(mandrel.material).alpha
            if mandrel.cte_1e6_K is None
            else si("cte_1e6_K", mandrel.cte_1e6_K)
        )
        bar = Mandrel(
            mandrel.id,
            np.array([si("at_mm", p.at_mm) for p in mandrel.profile]),
            np.array([si("diameter_mm", p.diameter_mm) for p in mandrel.profile]),
            expansion,
        )
        place, length = si("place_mm", document.sliding.place_mm), si("length_mm", length_mm)
        if place + length > bar.length + 1e-9:
            want = Message("want.long_enough_mandrel", length=length, place=place)
            raise DocumentError.at(field, Message("search.measured_over", length=bar.length), want)
        rise = si("room_C", document.setting.room_C) - si("stress_free_C", document.setting.stress_free_C)
        section = Section(_usual(walls), length, bar, place, rise)
        return Bar(mandrel.id, float(section.bores(np.array([length / 2.0]))[0]))


def _usual(walls: Options) -> Stack:
    """A wall as these options are usually rolled: each hoop once, the first axial ply for the rest."""
    along = [k for k, o in enumerate(walls.plies) if not o.is_hoop] or [0]
    around = [k for k, o in enumerate(walls.plies) if o.is_hoop]
    inner, outer = around[:1], around[-1:] if len(around) > 1 else []
    return walls.stack((*inner, *[along[0]] * max(walls.most - len(inner) - len(outer) - 1, 1), *outer))


def build_of(document: BriefDocument, length_mm: float) -> Build:
    """How tubes of one length are joined, and the clearances between them.

    length_mm : of every tube.
    """
    joint, slide = document.joint, document.sliding
    # on a common taper the butt of one tube meets the mouth of the next, so far from the middle of both: over the
    # overlap where it may be loose, at the very end of its travel where it must still slide
    taper = sum(_taper(m) for m in document.mandrels) / len(document.mandrels)
    away = max(length_mm - joint.overlap_mm, 0.0)
    least, most = slide.clearance_least_mm + taper * length_mm, slide.clearance_most_mm + taper * away
    if most < least - 1e-9:  # a nanometre of rounding
        rise = taper * (length_mm - away)
        given = Message("bound.length", value=si("clearance_mm", slide.clearance_most_mm))
        widest, over = si("clearance_mm", slide.clearance_least_mm + rise), si("clearance_mm", rise)
        want = Message("want.clearance_most_on_tapered_bars", least=widest, rise=over)
        raise DocumentError.at("sliding.clearance_most_mm", given, want)
    return Build(
        overlap=si("overlap_mm", joint.overlap_mm),
        proud=si("proud_mm", joint.proud_mm),
        flag_extra=si("trim_mm", document.setting.trim_mm),
        clamp=si("clamp_g", joint.clamp_g),
        fitting=si("tip_fitting_g", document.tip_fitting_g),
        joint_stiffness=joint_stiffness(joint),
        centring=joint.centring,
        pivot=joint.pivot,
        play=joint.play,
        clearance_least=si("clearance_mm", least),
        clearance_most=si("clearance_mm", max(most, least)),
        prop=si("prop_mm", document.setting.prop_mm),
    )
