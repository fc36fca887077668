"""A prepreg of a design as cured, with the origin of each of its figures."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.values import Workpiece
from polewright.materials.origin import Kind
from polewright.materials.prepreg import PlyRecord

__all__ = ["FigureOrigin", "MaterialAnswer", "material_answers"]

SHOWN = (
    "E1",
    "E2",
    "G12",
    "nu12",
    "nu23",
    "alpha1",
    "alpha2",
    "density",
    "thickness",
    "area_mass",
    "Vf",
    "resin_share",
    "Xt",
    "Xc",
    "Yt",
    "Yc",
    "S",
    "price",
)
LEAST_GIVEN = 4  # figures given by the workshop or a supplier from which a material counts as measured


@dataclass(frozen=True, slots=True)
class FigureOrigin:
    """One figure of a material in SI, its SI unit as written in the data, and where it comes from."""

    figure: str
    value: float
    unit: str
    kind: Kind
    is_default: bool
    source: Message | str
    confidence: str
    formula: Message | str


@dataclass(frozen=True, slots=True)
class MaterialAnswer:
    """A prepreg as cured: thickness [m], mass of its area [kg/m2], price of a square metre; shares [-] where known."""

    id: str
    description: str
    lot: str
    family: str
    is_woven: bool
    is_conductive: bool
    thickness: float
    fibre_volume: float | None
    resin_content: float | None
    area_mass: float
    price: float
    resting_on: Literal["default", "measured", "mixed"]
    figures: tuple[FigureOrigin, ...]


def material_answers(design: Design, work: Workpiece) -> tuple[MaterialAnswer, ...]:
    """Every material of a design, in its order."""
    return tuple(_material(m.description, m.lot, work.records[m.id]) for m in design.materials)


@lru_cache(maxsize=256)
def _material(description: str, lot: str, record: PlyRecord) -> MaterialAnswer:
    ply, known = record.ply, record.origins
    figures = tuple(_origin(name, record) for name in SHOWN if name in known)
    return MaterialAnswer(
        id=ply.name,
        description=description,
        lot=lot,
        family=ply.family,
        is_woven=ply.is_woven,
        is_conductive=ply.is_conductive,
        thickness=ply.thickness,
        fibre_volume=known["Vf"].value if "Vf" in known else None,
        resin_content=known["resin_share"].value if "resin_share" in known else None,
        area_mass=ply.area_mass,
        price=ply.price,
        resting_on=_resting_on(figures),
        figures=figures,
    )


def _origin(name: str, record: PlyRecord) -> FigureOrigin:
    origin = record.origins[name]
    return FigureOrigin(
        figure=name,
        value=origin.value,
        unit=origin.unit,
        kind=origin.kind,
        is_default=origin.is_default,
        source=origin.source,
        confidence=origin.confidence,
        formula=Message(origin.formula) if origin.formula else "",
    )


def _resting_on(figures: tuple[FigureOrigin, ...]) -> Literal["default", "measured", "mixed"]:
    if all(f.is_default for f in figures):
        return "default"
    return "measured" if sum(f.kind in ("measured", "certificate") for f in figures) >= LEAST_GIVEN else "mixed"
