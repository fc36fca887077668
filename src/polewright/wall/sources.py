"""What the formulas of the wall rest on; see `polewright.conventions.sources` for the use of the table."""

from collections.abc import Mapping
from types import MappingProxyType

from polewright.codes import Message
from polewright.conventions.criteria import CRITERIA
from polewright.conventions.sources import Source, cited, derived

__all__ = ["SOURCES"]

_ABD = cited("jones-1999", "eqs. 4.22 to 4.24")
_EXACT = Source(uses=("wall.cylinder.exact_tube",))
_THIN = Source(uses=("wall.membrane.tube_flexibility",))
_TURN = Message("derivation.turned_tensor")
_THERMAL = cited("jones-1999", "eqs. 4.98 to 4.102")

_STIFFNESS: dict[str, Source] = {
    "wall.expansion.free_expansion": cited("jones-1999", "eqs. 4.102 to 4.107")
    + derived(Message("derivation.wall_held_flat")),
    "wall.membrane.reduced_stiffness": cited("jones-1999", "eq. 2.66"),
    "wall.membrane.rotated_stiffness": cited("jones-1999", "eq. 2.85"),
    "wall.membrane.tube_flexibility": derived(Message("derivation.closed_tube")),
    "wall.membrane.tube_stiffness": _THIN,
    "wall.membrane.free_plate_axial": _ABD,
    "wall.membrane_kernel.many_tubes": _THIN,
    "wall.membrane_kernel.stiffness_of_many": _THIN,
    "wall.thin_kernel.ply_figures": cited("jones-1999", "eq. 2.66 and section 2.7"),
    "wall.thin_kernel.beam_of": _THIN,
    "wall.ring.RingStiffness.between_plates": cited("young-2002", "table 9.2 case 1"),
    "wall.ring.RingStiffness.between_plates_soft": cited("young-2002", "table 9.2"),
    "wall.ring.wall_matrices": _ABD,
    "wall.ring.ring_stiffness": _ABD,
    "wall.ring.collapse_pressure": cited("timoshenko-1961", "section 7.3"),
    "wall.seam.seam_variation": derived(Message("derivation.thin_arc")),
    "wall.seam.bow_tip_offset": derived(Message("derivation.parabola_end")),
    "wall.seam.uneven_section": derived(Message("derivation.parallel_axes")) + cited("timoshenko-1925"),
    "wall.sensitivity.thin_figures": Source(
        uses=(
            "wall.membrane.tube_stiffness",
            "wall.ring.ring_stiffness",
            "wall.ring.collapse_pressure",
            "wall.flattening.oval_moment_brazier",
        )
    ),
    "wall.sensitivity.earnings": derived(Message("derivation.energy_shares")),
    "wall.sensitivity.slopes": derived(Message("derivation.slope_of_inverse")),
    "wall.sensitivity.changes": Source(uses=("wall.sensitivity.thin_figures",)),
    "wall.solid.solid_stiffness": cited("jones-1999", "eq. 2.24") + derived(_TURN),
    "wall.solid.solid_heat": derived(_TURN),
    "wall.solid.ply_stress": cited("jones-1999", "eq. 2.75"),
    "wall.solid.ply_strain": cited("jones-1999", "eq. 2.75"),
}

_EXACT_TUBE: dict[str, Source] = {
    "wall.cooldown.cool_down": _EXACT,
    "wall.cooldown.mandrel_fit": _EXACT + derived(Message("derivation.elastic_upper_bound")),
    "wall.cylinder.exact_tube": cited("lekhnitskii-1981")
    + cited("love-1927", "ch. XV")
    + derived(Message("derivation.cylinder_elements")),
    "wall.element.element_tables": cited("abramowitz-1964", "25.4.30 and 25.4.32"),
    "wall.thick_ring.ring_response": cited("lekhnitskii-1968") + derived(Message("derivation.ring_series")),
    "wall.thick_ring.collapse_pressure_thick": derived(
        Message("derivation.collapse_of_solid_ring"), "wall.ring.collapse_pressure"
    ),
    "wall.through.tube_stress": derived(Message("derivation.superposition"), "wall.cylinder.exact_tube"),
    "wall.through.beam_strain": _EXACT,
    "wall.through.torque_to_hold": derived(Message("derivation.held_twist"), "wall.cylinder.exact_tube"),
}

_STRENGTH: dict[str, Source] = {
    "wall.clamp.band_hold": derived(Message("derivation.band_statics")),
    "wall.clamp.band_twist_hold": Source(uses=("wall.clamp.band_hold",)),
    "wall.clamp.band_pressure": Source(uses=("wall.clamp.band_hold",)),
    "wall.clamp.clamp_window": Source(uses=("wall.clamp.band_hold", "wall.collar.collar_loads")),
    "wall.collar.collar_of": derived(Message("derivation.collars")),
    "wall.collar.collar_loads": cited("timoshenko-1961", "section 7.3")
    + derived(Message("derivation.collar_contact"), "wall.thick_ring.ring_response", "wall.collar.collar_of"),
    **{kind.function: kind.source for kind in CRITERIA.values()},
    "wall.failure.last_failure": cited("jones-1999", "section 4.5"),
    "wall.flattening.oval_moment_brazier": cited("brazier-1927", "104-114")
    + derived(Message("derivation.orthotropic_oval")),
    "wall.flattening.oval_moment_limit": derived(
        Message("derivation.inextensible_ring"), "wall.flattening.oval_moment_brazier", "wall.flattening.oval_scales"
    ),
    "wall.flattening.oval_scales": cited("timoshenko-1961", "section 2.17")
    + Source(uses=("wall.flattening.oval_moment_brazier",)),
    "wall.flattening.oval_top": Source(uses=("wall.flattening.oval_moment_limit",)),
    "wall.oval_wrinkle.oval_wrinkle": cited("axelrad-1987")
    + cited("maslov-1981")
    + Source(uses=("wall.flattening.oval_moment_limit", "wall.wrinkling.bending_knock_down", "wall.wrinkle_kernel")),
    "wall.limits.bending_limits": Source(
        uses=(
            "wall.criteria.tsai_wu_reserve",
            "wall.criteria.hashin_reserve",
            "wall.flattening.oval_moment_limit",
            "wall.oval_wrinkle.oval_wrinkle",
        )
    ),
    "wall.report.beam_tiers": _THIN + _EXACT,
    "wall.report.ring_report": Source(
        uses=("wall.ring.ring_stiffness", "wall.thick_ring.ring_response", "wall.clamp.clamp_window")
    ),
    "wall.report.strength_report": Source(uses=("wall.criteria.tsai_wu_reserve", "wall.failure.last_failure")),
    "wall.report.cool_report": Source(uses=("wall.cooldown.cool_down", "wall.cooldown.mandrel_fit")),
    "wall.report.wall_report": Source(
        uses=(
            "wall.report.beam_tiers",
            "wall.report.ring_report",
            "wall.report.strength_report",
            "wall.report.cool_report",
            "wall.limits.bending_limits",
            "wall.seam.uneven_section",
        )
    ),
    "wall.squeeze.plates_squeeze": cited("young-2002", "table 9.2 case 1")
    + Source(uses=("wall.thick_ring.ring_response",)),
    "wall.squeeze.helped_length": cited("hetenyi-1946") + derived(Message("derivation.semi_membrane")),
    "wall.thin_stress.thin_stress": _THIN + cited("jones-1999", "eq. 2.85"),
    "wall.thin_stress.load_give": derived(Message("derivation.clapeyron"), "wall.thin_stress.thin_stress"),
    "wall.thin_stress.thin_cure_stress": _THERMAL + derived(Message("derivation.closed_tube")),
    "wall.wrinkling.push_knock_down": cited("nasa-1968", "sections 4.1 and 4.2"),
    "wall.wrinkling.bending_knock_down": cited("nasa-1968", "sections 4.1 and 4.2"),
    "wall.wrinkling.axisymmetric_force": cited("timoshenko-1961", "section 11.1"),
    "wall.wrinkle_kernel": cited("sanders-1963"),
    "wall.wrinkle_kernel.softness": Source(uses=("wall.wrinkle_kernel",)),
    "wall.wrinkle_kernel.joined_waves": Source(uses=("wall.wrinkle_kernel",)),
    "wall.wrinkling.push_wrinkle": cited("sanders-1963") + cited("timoshenko-1961", "ch. 11"),
    "wall.wrinkling.bending_wrinkle": cited("seide-1961"),
}

SOURCES: Mapping[str, Source] = MappingProxyType(_STIFFNESS | _EXACT_TUBE | _STRENGTH)
"""Name of a function of the wall -> what it rests on."""
