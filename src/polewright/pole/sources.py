"""What the formulas of the pole rest on; see `polewright.conventions.sources` for the use of the table."""

from collections.abc import Mapping
from types import MappingProxyType

from polewright.codes import Message
from polewright.conventions.sources import Source, cited, derived

__all__ = ["SOURCES"]

_BEAM = Source(uses=("pole.elastica",))

_SHAPE: dict[str, Source] = {
    "pole.batch.bent_tips": _BEAM,
    "pole.batch.bent_lines": _BEAM,
    "pole.beam.bent": _BEAM,
    "pole.droop.droop_split": derived(Message("derivation.virtual_work_bent"), "pole.elastica"),
    "pole.droop.flex": derived(Message("derivation.castigliano_flex")),
    "pole.elastica": cited("simo-1985", "55-70") + derived(Message("derivation.rotation_alone")),
    "pole.hands.Heft.felt_mass": derived(Message("derivation.felt_mass")),
    "pole.hands.heft": derived(Message("derivation.sums_of_mass")),
    "pole.hands.grip": derived(Message("derivation.two_hands")),
    "pole.joint.contact": derived(Message("derivation.joint_couple")),
    "pole.pole.Joint.free_tilt": derived(Message("derivation.straight_in_bore")),
    "pole.tangent": derived(Message("derivation.tangent_of_energy"), "pole.elastica"),
    "pole.section.bore_after_cure": derived(Message("derivation.ring_and_bar")),
}

_MOTION: dict[str, Source] = {
    "pole.lanczos": cited("parlett-1998", "ch. 13"),
    "pole.lanczos.lanczos": Source(uses=("pole.lanczos",)),
    "pole.modes": cited("parlett-1998", "ch. 13 and 15"),
    "pole.modes.modes": Source(uses=("pole.modes",)),
    "pole.modes.settling_time": cited("timoshenko-1937", "ch. I"),
    "pole.slip.drop_factor": cited("timoshenko-1940", "ch. on energy of strain, impact"),
    "pole.slip.caught_factor": cited("timoshenko-1937", "ch. I"),
    "pole.slip.stop_force": derived(Message("derivation.energy_of_stop")),
}

_LIMITS: dict[str, Source] = {
    "pole.crush": cited("young-2002", "table 9.2")
    + cited("hetenyi-1946")
    + derived(Message("derivation.pressed_ring")),
    "pole.crush.pressed_ring": Source(uses=("pole.crush",)) + cited("jones-1999", "eqs. 2.85 and 4.22 to 4.24"),
    "pole.crush.helped": cited("hetenyi-1946", "ch. II and III") + derived(Message("derivation.ring_on_bed")),
    "pole.crush.crush": cited("timoshenko-1961", "section 7.3")
    + derived(Message("derivation.strength_and_folding"), "pole.crush"),
    "pole.margins.margins": derived(Message("derivation.largest_against_limit"), "pole.joint.contact"),
    "pole.stability": derived(Message("derivation.tangent_of_energy"), "pole.elastica"),
    "pole.stability.buckling_factor": Source(uses=("pole.stability",)),
    "pole.stability.self_buckling_factor": Source(uses=("pole.stability",)),
    "pole.stability.push_limit": Source(uses=("pole.stability",)),
    "pole.stability.heavy_column_length": cited("greenhill-1881", "65-73"),
    "pole.stability.sway_multiplier": cited("timoshenko-1961", "ch. 1"),
    "pole.wind.wind_load": cited("hoerner-1965", "ch. 3"),
    "pole.wind.safe_reach": derived(Message("derivation.halving_of_reach"), "pole.beam.bent"),
}

SOURCES: Mapping[str, Source] = MappingProxyType(_SHAPE | _MOTION | _LIMITS)
"""Name of a function of the pole, or of a file whose text cites for all of it -> what it rests on."""
