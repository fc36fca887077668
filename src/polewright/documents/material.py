"""A material as the workshop keeps it: where its fibre and resin come from, and what was measured on which lot."""

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import Field, ValidationInfo, field_validator, model_validator

from polewright.codes import Message
from polewright.conventions.known_ranges import FIBRE_RANGES, RESIN_RANGES
from polewright.documents.document import Part, unless
from polewright.documents.fields import (
    AreaMass,
    AreaPrice,
    Density,
    Expansion,
    Length,
    Modulus,
    Percent,
    Ratio,
    Stress,
    Temperature,
)
from polewright.units import quantity_of_field, si

__all__ = ["GIVEN_LIMITS", "FibreData", "Given", "Material", "ResinData"]

Kind = Literal["default", "certificate", "measured"]
Name = Annotated[str, Field(min_length=1, max_length=80)]


def _bound(figure: str, number: float) -> Message | float:
    """A bound of a figure, in its field's unit, as its reader sees it."""
    quantity = quantity_of_field(figure)
    return number if quantity is None else Message(f"bound.{quantity}", value=si(figure, number))


def _within_known(figure: str, value: float | None, of: str, known: tuple[float, float]) -> None:
    if value is not None and not known[0] <= value <= known[1]:
        least, most = (_bound(figure, bound) for bound in known)
        raise ValueError(Message("want.known_of", family=of, least=least, most=most))


class FibreData(Part):
    """A fibre's own constants, where it is not one of the shipped list; insist: they may be outside what is known."""

    family: Literal["carbon", "glass", "aramid", "basalt", "flax"]
    insist: Annotated[bool, unless(False)] = False
    E1_GPa: Modulus
    E2_GPa: Modulus
    G12_GPa: Modulus
    nu12: Ratio
    nu23: Ratio = 0.45
    density_kg_m3: Density
    cte1_1e6_K: Expansion
    cte2_1e6_K: Expansion
    conductive: bool = True
    strength_MPa: Stress | None = None
    Xt_transfer: Annotated[float, Field(gt=0.0, le=1.0)] = 0.86
    Xc_ref_MPa: Stress | None = None
    Yt_ref_MPa: Stress | None = None
    Yc_ref_MPa: Stress | None = None
    S_ref_MPa: Stress | None = None
    note: str = ""

    @field_validator(*FIBRE_RANGES["carbon"])
    @classmethod
    def _is_known(cls, value: float | None, info: ValidationInfo) -> float | None:
        family, field = info.data.get("family"), str(info.field_name)
        if family is not None and not info.data.get("insist", False):
            _within_known(field, value, family, FIBRE_RANGES[family][field])
        return value

    @field_validator("conductive")
    @classmethod
    def _carbon_conducts(cls, value: bool, info: ValidationInfo) -> bool:
        if not value and info.data.get("family") == "carbon":
            raise ValueError(Message("want.carbon_conducts"))
        return value


class ResinData(Part):
    """A resin's own constants, where it is not one of the shipped list; insist: they may be outside what is known."""

    insist: Annotated[bool, unless(False)] = False
    E_GPa: Modulus
    nu: Ratio
    density_kg_m3: Density
    cte_1e6_K: Expansion
    Tg_dry_C: Temperature = 120.0
    Tg_wet_C: Temperature = 95.0
    note: str = ""

    @field_validator("E_GPa", "nu", "density_kg_m3", "cte_1e6_K", "Tg_dry_C", "Tg_wet_C")
    @classmethod
    def _is_known(cls, value: float, info: ValidationInfo) -> float:
        field = str(info.field_name)
        if not info.data.get("insist", False):
            _within_known(field, value, "resin", RESIN_RANGES[field])
        return value

    @model_validator(mode="after")
    def _softer_when_wet(self) -> "ResinData":
        if self.Tg_wet_C > self.Tg_dry_C:
            raise ValueError(Message("want.wet_below_dry", dry=si("Tg_dry_C", self.Tg_dry_C)))
        return self


GIVEN_LIMITS: Mapping[str, tuple[float, float]] = {  # what a ply's figure can be, in the unit its name ends with
    "E1_GPa": (0.1, 1000.0),
    "E2_GPa": (0.1, 1000.0),
    "G12_GPa": (0.05, 500.0),
    "nu12": (-1.0, 1.0),
    "nu23": (-1.0, 1.0),
    "thickness_mm": (0.01, 3.0),
    "density_kg_m3": (500.0, 5000.0),
    "cte1_1e6_K": (-20.0, 300.0),
    "cte2_1e6_K": (-20.0, 300.0),
    "Xt_MPa": (1.0, 10000.0),
    "Xc_MPa": (1.0, 10000.0),
    "Yt_MPa": (1.0, 10000.0),
    "Yc_MPa": (1.0, 10000.0),
    "S_MPa": (1.0, 10000.0),
    "total_g_m2": (10.0, 5000.0),
    "resin_content_pct": (10.0, 80.0),
}


class Given(Part):
    """One figure that replaces the derived one: from the supplier's certificate, or measured here on a lot."""

    figure: Literal[
        "E1_GPa",
        "E2_GPa",
        "G12_GPa",
        "nu12",
        "nu23",
        "thickness_mm",
        "density_kg_m3",
        "cte1_1e6_K",
        "cte2_1e6_K",
        "Xt_MPa",
        "Xc_MPa",
        "Yt_MPa",
        "Yc_MPa",
        "S_MPa",
        "total_g_m2",
        "resin_content_pct",
    ]
    value: float
    kind: Kind
    lot: str = ""
    note: str = ""

    @field_validator("value")
    @classmethod
    def _can_be(cls, value: float, info: ValidationInfo) -> float:
        figure = info.data.get("figure", "")
        least, most = GIVEN_LIMITS.get(figure, (value, value))
        if not least <= value <= most:
            raise ValueError(Message("want.between", least=_bound(figure, least), most=_bound(figure, most)))
        return value


class Material(Part):
    """One prepreg on the shelf: a shipped one by `prepreg`, or a fibre and a resin, with this lot's own figures."""

    id: Name
    description: str = ""
    prepreg: str | None = None
    architecture: Literal["ud", "weave"] = "ud"
    fibre: str | FibreData | None = None
    resin: str | ResinData | None = None
    fibre_areal_g_m2: AreaMass | None = None
    resin_content_pct: Percent | None = None
    void_pct: Annotated[float, Field(ge=0.0, le=10.0)] = 0.0
    crimp_E: Annotated[float, Field(gt=0.3, le=1.0)] = 0.92
    crimp_X: Annotated[float, Field(gt=0.3, le=1.0)] = 0.85
    model: Literal["halpin-tsai", "square-root", "cylinders"] = "halpin-tsai"
    price_per_m2: AreaPrice = 0.0
    roll_width_mm: Length = 1000.0
    lot: str = ""
    given: tuple[Given, ...] = ()

    @property
    def is_insisted(self) -> bool:
        """Whether a figure of its fibre or resin may be outside what is known."""
        parts = (self.fibre, self.resin)
        return any(isinstance(part, FibreData | ResinData) and part.insist for part in parts)

    @model_validator(mode="after")
    def _has_a_source(self) -> "Material":
        if self.prepreg is None:
            wanted = ("fibre", "resin", "fibre_areal_g_m2", "resin_content_pct")
            missing = [name for name in wanted if getattr(self, name) is None]
            if missing:
                raise ValueError(Message("want.prepreg_or_its_parts", fields=wanted, missing=tuple(missing)))
        return self
