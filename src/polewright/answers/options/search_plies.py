"""What may be rolled on: plies and their rules, what a wall must bear, and prepregs that cannot be used."""

from dataclasses import replace
from math import pi

from polewright.answers.options.bounds import at_least, at_most
from polewright.answers.sections import band_of
from polewright.codes import Message
from polewright.documents.brief_file import BriefDocument, RolledPly
from polewright.materials.ply import Ply
from polewright.search import Bears, Option, Rules
from polewright.units import from_, si
from polewright.wall.report import Hold

__all__ = ["bears_of", "option_of", "rules_of", "unusable"]


def unusable(document: BriefDocument) -> dict[str, Message]:
    """Prepregs that cannot be used, with the reason."""
    reasons = {}
    for stock in document.stock:
        if stock.left_m == 0.0:
            reasons[stock.prepreg] = Message("search.used_up", prepreg=stock.prepreg)
        elif stock.life_left_h is not None and stock.life_left_h < document.work_h:
            left, work = from_(stock.life_left_h, "h"), from_(document.work_h, "h")
            reasons[stock.prepreg] = Message("search.out_of_life", prepreg=stock.prepreg, left=left, work=work)
    return reasons


def option_of(rolled: RolledPly, ply: Ply) -> Option:
    """One thing to roll on; a part turn, or several turns at once, is a ply as much thinner or thicker."""
    if rolled.turns != 1.0:
        ply = replace(
            ply,
            thickness=ply.thickness * rolled.turns,
            price=ply.price * rolled.turns,
            area_mass=ply.area_mass * rolled.turns,
        )
    return Option(ply, si("angle_deg", rolled.angle_deg), is_pair=rolled.pair)


def rules_of(document: BriefDocument) -> Rules:
    """The rules that every wall keeps."""
    r, twist = document.rolls, document.brief.twist_at_least_N_m2
    return Rules(
        hoop_inside=r.hoop_inside,
        hoop_outside=r.hoop_outside,
        woven_skin=r.woven_skin,
        least_wall=at_least("wall_least_mm", r.wall_least_mm),
        most_wall=at_most("wall_most_mm", r.wall_most_mm),
        block=at_most("block_most_mm", r.block_most_mm),
        neighbours=at_most("neighbours_most_deg", r.neighbours_most_deg),
        least_ring=r.ring_least_N_m or 0.0,
        least_collapse=at_least("clamp_least_kPa", r.clamp_least_kPa),
        least_twist=at_least("twist_at_least_N_m2", twist),
    )


def bears_of(document: BriefDocument) -> Bears | None:
    """What every wall must bear; None where nothing is asked. A clamp sits on the mouth of all but the tip section."""
    rolls, need = document.rolls, document.brief.clamp_hold_N
    band, hold = 0.0, Hold()
    if need is not None:
        friction = document.setting.friction_wet
        band = si("clamp_hold_N", need) / (2.0 * pi * friction)
        hold = Hold(band=band_of(document.joint, document.setting), need=si("clamp_hold_N", need))
    loads = [
        rolls.moment_least_N_m or 0.0,
        *(
            at_least("squeeze_N", f)
            for f in (rolls.plates_squeeze_least_N, rolls.hand_squeeze_least_N, rolls.pads_squeeze_least_N)
        ),
        band,
    ]
    if not any(loads):
        return None
    moment, plates, fist, pad, _ = loads
    setting = document.setting
    rise = si("room_C", setting.room_C) - si("stress_free_C", setting.stress_free_C)
    return Bears(moment, plates, fist, pad, band, hold, spares_tip=True, criterion=setting.criterion, rise=rise)
