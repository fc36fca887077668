"""A prepreg as bought, the ply it cures to, and where every figure of that ply comes from.

A shop's own figures (weighed, certified, tested) replace the derived ones one by one and lot by lot; everything that
follows from them follows, and each figure can be asked how it came to be.
"""

import difflib
import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials import cured
from polewright.materials.cured import ELASTIC_NAMES, STRENGTH_NAMES, Models
from polewright.materials.entries import OWN, Fibre, Knockdown, Provenance, Resin
from polewright.materials.frozen_map import FrozenMap
from polewright.materials.ledger import Ledger
from polewright.materials.library import library
from polewright.materials.numbers import finite
from polewright.materials.origin import Kind, Origin, Step
from polewright.materials.ply import Ply

__all__ = ["PlyRecord", "Prepreg", "stock_prepreg"]

INSULATORS = frozenset({"glass", "aramid", "mineral", "basalt", "natural", "flax"})
"""Families known not to conduct when dry; a fibre of any other keeps the caution, whatever is declared of it."""

CONTENTS = (
    "area_mass",
    "fibre_area_mass",
    "resin_share",
    "bleed",
    "cured_resin_share",
    "void_share",
    "Vf",
    "thickness",
    "crimp_E",
    "crimp_Xt",
    "crimp_Xc",
    "price",
)
OF_FIBRE = (
    "E1",
    "E2",
    "G12",
    "nu12",
    "own_nu23",
    "alpha1",
    "alpha2",
    "density",
    "strength",
    "Xt_transfer",
    "Xc_ref",
    "Yt_ref",
    "Yc_ref",
    "S_ref",
)
OF_RESIN = ("E", "nu", "alpha", "density")
MEASURABLE = (
    *CONTENTS,
    *ELASTIC_NAMES,
    *STRENGTH_NAMES,
    *(f"{n}_design" for n in STRENGTH_NAMES),
    *(f"ud.{n}" for n in (*ELASTIC_NAMES, *STRENGTH_NAMES) if n != "density"),
    *(f"fibre.{n}" for n in OF_FIBRE),
    *(f"resin.{n}" for n in OF_RESIN),
)
UNIT_BY_START = (
    ("alpha", "1/K"),
    ("nu", "-"),
    ("own_nu", "-"),
    ("crimp", "-"),
    ("Xt_transfer", "-"),
    ("area_mass", "kg/m2"),
    ("fibre_area_mass", "kg/m2"),
    ("density", "kg/m3"),
    ("resin_share", "-"),
    ("cured_resin_share", "-"),
    ("bleed", "-"),
    ("void_share", "-"),
    ("Vf", "-"),
    ("thickness", "m"),
    ("price", "per m2"),
)


@dataclass(frozen=True, slots=True, eq=False)
class PlyRecord:
    """A cured ply with the origin of every figure that led to it, by name."""

    ply: Ply
    origins: Mapping[str, Origin]

    def chain(self, name: str) -> Origin:
        """How a figure came to be, as data: its formula, source and inputs with their own origins.

        Raises
        ------
        DesignError : no such figure.
        """
        if name not in self.origins:
            near = difflib.get_close_matches(name, self.origins, n=3, cutoff=0.4)
            raise DesignError("figure", repr(name), Message("want.figure_of_this_ply", choices=tuple(near) or ("E1",)))
        return self.origins[name]

    def why(self, name: str) -> tuple[Step, ...]:
        """The chain as lines, the figure first, its inputs below and deeper."""
        return tuple(self.chain(name).steps(name))

    @property
    def given(self) -> Mapping[str, Origin]:
        """The figures that were measured or certified, by name."""
        return FrozenMap({n: o for n, o in self.origins.items() if o.kind in ("measured", "certificate")})


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Prepreg:
    """What is on the roll. fibre_area_mass [kg/m2]; resin_share [-] by mass; void_share [-] of the cured volume.

    `bleed` [-] is the share of the prepreg's mass that runs off as resin in the oven;
    `fibres` with their `mass_shares` [-]; architecture "ud" or any weave; crimp factors [-]; nu23 [-] of the
    unidirectional ply, None for the model's own; price [currency/m2]; `given` the figures measured or certified.
    """

    name: str
    fibres: tuple[Fibre, ...]
    resin: Resin
    fibre_area_mass: float
    resin_share: float
    void_share: float = 0.0
    bleed: float = 0.0
    mass_shares: tuple[float, ...] = (1.0,)
    architecture: str = "ud"
    crimp_E: float = 1.0
    crimp_Xt: float = 1.0
    crimp_Xc: float = 1.0
    nu23: float | None = None
    price: float = 0.0
    provenance: Provenance = OWN
    knockdowns: Mapping[str, Knockdown] = field(default_factory=lambda: library().knockdowns)
    given: Mapping[str, Origin] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not self.fibres or len(self.fibres) != len(self.mass_shares):
            raise DesignError(f"{self.name}.fibres", len(self.fibres), Message("want.at_least_one_fibre_each_with"))
        if not all(s > 0.0 for s in self.mass_shares) or not math.isclose(sum(self.mass_shares), 1.0, abs_tol=1e-6):
            raise DesignError(f"{self.name}.mass_shares", self.mass_shares, Message("want.shares_adding_to_1"))
        if len({f.id for f in self.fibres}) < len(self.fibres):
            raise DesignError(f"{self.name}.fibres", Message("given.same_fibre_twice"), Message("want.each_fibre_once"))
        object.__setattr__(self, "given", FrozenMap(dict(self.given)))

    @property
    def is_woven(self) -> bool:
        """True for anything but unidirectional."""
        return self.architecture != "ud"

    def with_measured(
        self,
        figures: Mapping[str, float],
        *,
        source: Message | str,
        lot: str = "",
        confidence: str = "",
        kind: Kind = "measured",
    ) -> "Prepreg":
        """The same prepreg with figures of a lot in place of derived ones, SI, by name; later calls win.

        Names: contents (area_mass of a weighed square, resin_share, thickness, ...), ply constants (E1, ...), strengths
        (Xt, ..., Xt_design, ...), constituents (fibre.E1, resin.E, ...), and ud.E1, ... for the plies in a weave.

        Raises
        ------
        DesignError : a kind or name that is not known, or a value that is no number.
        """
        if kind not in ("measured", "certificate"):
            raise DesignError("kind", repr(kind), Message("want.measured_or_certificate"))
        told = Message("origin.of_lot", source=source, lot=lot) if lot else source
        new: dict[str, Origin] = {}
        for name, value in figures.items():
            if name not in MEASURABLE:
                near = difflib.get_close_matches(name, MEASURABLE, n=3, cutoff=0.4)
                raise DesignError(
                    "measured figure", repr(name), Message("want.known_name", choices=tuple(near) or ("E1",))
                )
            new[name] = Origin(kind, float(finite(name, value)), _unit(name), told, confidence)
        return replace(self, given={**self.given, **new})

    def ply(self, models: Models | None = None) -> PlyRecord:
        """The cured ply by the stated models (default: those of the shipped table), with every figure's origin.

        Raises
        ------
        DesignError : contents that cannot be packed, or constants no material can have.
        """
        sheet = self._worked_out(models or Models())
        family = "-".join(sorted({f.family.split("_")[0] for f in self.fibres}))
        ply = Ply(
            name=self.name,
            thickness=sheet["thickness"],
            area_mass=sheet["area_mass"],
            elastic=cured.elastic_of(sheet),
            family=family,
            is_woven=self.is_woven,
            is_conductive=any(f.conductive or f.family not in INSULATORS for f in self.fibres),
            price=sheet["price"],
            strength=cured.strength_of(sheet),
            design=cured.strength_of(sheet, "_design"),
        )
        return PlyRecord(ply, FrozenMap(sheet.known))

    def _worked_out(self, models: Models) -> Ledger:
        sheet = Ledger(self.given, self.provenance.confidence)
        sheet.enter("price", self._own(self.price, "per m2"))
        cured.fibre_and_resin(sheet, self.fibres, self.mass_shares, self.resin)
        cured.make_up(
            sheet,
            fibre_area_mass=self._own(self.fibre_area_mass, "kg/m2"),
            resin_share=self._own(self.resin_share, "-"),
            void_share=self._own(self.void_share, "-"),
            bleed=self._own(self.bleed, "-"),
        )
        ids, label = tuple(f.id for f in self.fibres), "ud." if self.is_woven else ""
        nu23 = None if self.nu23 is None else self._own(self.nu23, "-")
        ud = cured.unidirectional(sheet, models, nu23=nu23, label=label)
        cured.unidirectional_strength(sheet, ids, label=label)
        if self.is_woven:
            cured.weave(sheet, ud, crimp=self._own(self.crimp_E, "-"))
            cured.weave_strength(sheet, crimp_Xt=self._own(self.crimp_Xt, "-"), crimp_Xc=self._own(self.crimp_Xc, "-"))
        cured.design_strength(sheet, self._knockdown_origins())
        return sheet

    def _own(self, value: float, unit: str) -> Origin:
        return self.provenance.origin(value, unit)

    def _knockdown_origins(self) -> dict[str, Origin]:
        """The factor of each strength; a weave's Y values are fibre-borne and take the X factors."""
        twin = {"Yt": "Xt", "Yc": "Xc"} if self.is_woven else {}
        factors = {n: self.knockdowns[twin.get(n, n)] for n in STRENGTH_NAMES if twin.get(n, n) in self.knockdowns}
        return {
            n: Origin(
                "default",
                k.total,
                "-",
                Message("origin.knockdown", reason=k.reason, source=k.provenance.source),
                k.provenance.confidence,
            )
            for n, k in factors.items()
        }


def stock_prepreg(id: str) -> Prepreg:  # noqa: A002 - the library's own word for its keys
    """The shipped prepreg of that id, its price the middle of the listed band.

    Raises
    ------
    DesignError : no such id, with the closest spellings.
    """
    shelf = library()
    e = shelf.prepreg(id)
    return Prepreg(
        name=e.id,
        fibres=tuple(shelf.fibre(f["id"]) for f in e.fibre_mix),
        mass_shares=tuple(f["mass_frac"] for f in e.fibre_mix),
        resin=shelf.resin(e.resin_id),
        fibre_area_mass=e.fibre_area_mass,
        resin_share=e.resin_share,
        void_share=e.void_share,
        architecture=e.architecture,
        crimp_E=e.crimp_E,
        crimp_Xt=e.crimp_Xt,
        crimp_Xc=e.crimp_Xc,
        nu23=e.nu23,
        price=(e.price_low + e.price_high) / 2.0,
        provenance=e.provenance,
    )


def _unit(name: str) -> str:
    """SI unit of a figure by its name; moduli and strengths are in Pa."""
    bare = name.rsplit(".", maxsplit=1)[-1]
    return next((unit for start, unit in UNIT_BY_START if bare.startswith(start)), "Pa")
