"""What the shipped library holds: one frozen value per kind of entry, SI throughout, each with where it comes from."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.frozen_map import FrozenMap
from polewright.materials.origin import Origin

__all__ = ["Fibre", "Hazard", "Knockdown", "MandrelMaterial", "PrepregEntry", "Provenance", "Resin", "Row", "Scalar"]


@dataclass(frozen=True, slots=True)
class Provenance:
    """Source, the reference keys in it, and how far to trust it."""

    source: Message | str
    refs: tuple[str, ...]
    confidence: str

    def origin(self, value: float, unit: str) -> Origin:
        """The origin of a shipped figure of this row.

        Parameters
        ----------
        value : [SI unit of the figure], named by `unit`.
        """
        return Origin("default", value, unit, self.source, self.confidence, self.refs)


NOTHING: Mapping[str, Any] = FrozenMap({})
OWN = Provenance(Message("origin.entered"), (), "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fibre:
    """A fibre class. E1, E2, G12, strength [Pa]; nu12 its own, nu23 as given to its ply [-]; alpha1, alpha2 [1/K].

    density [kg/m3]; diameter [m]; Xc_ref, Yt_ref, Yc_ref, S_ref [Pa] ply values at fibre share 0.60;
    Xt_transfer [-] share of the strand strength a good ply shows; own_nu23 [-] of the fibre itself, assumed if None;
    prices per kg; `ranges` by figure. A workshop's own fibre may leave out what it does not know (None).
    """

    id: str
    E1: float
    E2: float
    G12: float
    nu12: float
    density: float
    alpha1: float
    alpha2: float
    description: str = ""
    family: str = "carbon_pan"
    nu23: float | None = None
    own_nu23: float | None = None
    strength: float | None = None
    failure_strain: float | None = None
    diameter: float | None = None
    conductive: bool = True
    Xc_ref: float | None = None
    Xt_transfer: float | None = None
    Yt_ref: float | None = None
    Yc_ref: float | None = None
    S_ref: float | None = None
    price_low: float = 0.0
    price_high: float = 0.0
    ranges: Mapping[str, tuple[float, float]] = field(default_factory=lambda: NOTHING)
    more: Mapping[str, Any] = field(default_factory=lambda: NOTHING)
    provenance: Provenance = OWN

    @property
    def is_alike_all_round(self) -> bool:
        """True for glass and mineral fibre: the same stiffness along and across."""
        return self.family in ("glass", "mineral")


@dataclass(frozen=True, slots=True, kw_only=True)
class Resin:
    """A resin class. E, strengths [Pa]; nu [-]; alpha [1/K]; density [kg/m3]; Tg_... [K]; heat_of_reaction [J/kg].

    dibenedetto [-] lambda of the cure curve of the glass transition; moisture_sat [-] by mass. A workshop's own resin
    may leave out what it does not know (None).
    """

    id: str
    E: float
    nu: float
    density: float
    alpha: float
    description: str = ""
    tensile_strength: float | None = None
    shear_strength: float | None = None
    Tg_dry: float | None = None
    Tg_wet: float | None = None
    Tg0: float | None = None
    Tg_inf: float | None = None
    dibenedetto: float | None = None
    gel_conversion: float | None = None
    heat_of_reaction: float | None = None
    moisture_sat: float | None = None
    kinetics_id: str = ""
    cure_min: float | None = None
    cure_max: float | None = None
    cure_cycles: tuple[Mapping[str, float], ...] = ()
    ranges: Mapping[str, tuple[float, float]] = field(default_factory=lambda: NOTHING)
    more: Mapping[str, Any] = field(default_factory=lambda: NOTHING)
    provenance: Provenance = OWN


@dataclass(frozen=True, slots=True)
class PrepregEntry:
    """A stock item as listed: what it is made of, and the ply figures printed in the table.

    fibre_area_mass, area_mass [kg/m2]; resin_share [-] by mass; void_share, Vf [-] by volume; thickness [m] cured;
    E.., G.., X.., Y.., S.. [Pa]; alpha.. [1/K]; density [kg/m3]; crimp_.. [-]; prices per m2.
    """

    id: str
    description: str
    architecture: str
    fibre_mix: tuple[Mapping[str, Any], ...]
    resin_id: str
    fibre_area_mass: float
    resin_share: float
    area_mass: float
    void_share: float
    Vf: float
    thickness: float
    density: float
    E1: float
    E2: float
    G12: float
    G23: float
    nu12: float
    nu23: float
    Xt: float
    Xc: float
    Yt: float
    Yc: float
    S: float
    Xt_design: float
    Xc_design: float
    Yt_design: float
    Yc_design: float
    S_design: float
    alpha1: float
    alpha2: float
    crimp_E: float
    crimp_Xt: float
    crimp_Xc: float
    roll_width: tuple[float, ...]
    price_low: float
    price_high: float
    typical_use: str
    ranges: Mapping[str, tuple[float, float]]
    more: Mapping[str, Any]
    provenance: Provenance

    @property
    def is_woven(self) -> bool:
        """True for anything but unidirectional."""
        return self.architecture != "ud"


@dataclass(frozen=True, slots=True)
class MandrelMaterial:
    """A mandrel material. E, yield_strength [Pa]; alpha [1/K]; density [kg/m3]; conductivity [W/(m K)].

    heat_capacity [J/(kg K)]; emissivity [-].
    """

    id: str
    description: str
    E: float
    nu: float
    density: float
    alpha: float
    conductivity: float
    heat_capacity: float
    yield_strength: float
    emissivity: float
    use_note: str
    ranges: Mapping[str, tuple[float, float]]
    more: Mapping[str, Any]
    provenance: Provenance


@dataclass(frozen=True, slots=True)
class Hazard:
    """A caution: what can hurt, what to do, and the closing that refers to the local code and competent person."""

    id: str
    title: str
    caution: str
    actions: tuple[str, ...]
    closing: str
    ranges: Mapping[str, tuple[float, float]]
    more: Mapping[str, Any]
    provenance: Provenance


@dataclass(frozen=True, slots=True)
class Knockdown:
    """A design factor on a lab mean: total = process * scatter * environment [-], and the reason for it."""

    id: str
    total: float
    process: float
    scatter: float
    environment: float
    reason: str
    provenance: Provenance


@dataclass(frozen=True, slots=True)
class Scalar:
    """One sourced figure with its band, in SI; `unit` is the SI unit, `words` the unit as the table words it.

    Where the table gives words and a band, the words are the `note` and `value` is the middle of the band.
    """

    id: str
    value: float
    low: float
    high: float
    unit: str
    words: str
    note: str
    provenance: Provenance


@dataclass(frozen=True, slots=True)
class Row:
    """One row of any other table: its figures in SI by name, its ranges, its source."""

    id: str
    figures: Mapping[str, Any]
    ranges: Mapping[str, tuple[float, float]]
    provenance: Provenance

    def __getitem__(self, name: str) -> Any:
        if name not in self.figures:
            raise DesignError(f"{self.id}.{name}", None, Message("want.one", choices=tuple(self.figures)))
        return self.figures[name]
