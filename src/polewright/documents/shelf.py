"""A material document into the cured ply of the core, with the origin of every figure."""

from dataclasses import replace
from functools import lru_cache

from polewright.codes import Message
from polewright.documents.files import DocumentError, Fault
from polewright.documents.material import FibreData, Given, Material, ResinData
from polewright.errors import DesignError
from polewright.materials.content import lot_resin_share
from polewright.materials.cured import Models
from polewright.materials.entries import Fibre, Provenance, Resin
from polewright.materials.expansion import ExpansionModel
from polewright.materials.library import library
from polewright.materials.micromechanics import Model
from polewright.materials.prepreg import PlyRecord, Prepreg, stock_prepreg
from polewright.units import si

__all__ = ["ply_record"]

MODELS: dict[str, tuple[Model, ExpansionModel]] = {
    "halpin-tsai": ("halpin_tsai", "schapery"),
    "square-root": ("square_root", "square_root"),
    "cylinders": ("cylinders", "cylinders"),
}
FIGURES = {
    "E1_GPa": "E1",
    "E2_GPa": "E2",
    "G12_GPa": "G12",
    "nu12": "nu12",
    "nu23": "nu23",
    "thickness_mm": "thickness",
    "density_kg_m3": "density",
    "cte1_1e6_K": "alpha1",
    "cte2_1e6_K": "alpha2",
    "Xt_MPa": "Xt",
    "Xc_MPa": "Xc",
    "Yt_MPa": "Yt",
    "Yc_MPa": "Yc",
    "S_MPa": "S",
}
FAMILY = {"carbon": "carbon_pan"}


@lru_cache(maxsize=256)
def ply_record(material: Material, *, field: str = "material") -> PlyRecord:
    """The cured ply of a material, every figure with its origin; `field` opens the place of a refusal.

    Raises
    ------
    DocumentError : a fibre, resin or prepreg that is not known, or contents and constants no ply can have.
    """
    try:
        prepreg = _stock(material) if material.prepreg is not None else _own(material)
        for given in material.given:
            prepreg = _with_given(prepreg, given, material)
        elastic, expansion = MODELS["square-root" if material.prepreg is not None else material.model]
        return prepreg.ply(Models(elastic, expansion))
    except DesignError as fault:
        raise DocumentError([Fault.of(fault, f"{field}.{fault.field}")]) from fault


def _stock(material: Material) -> Prepreg:
    shipped = stock_prepreg(str(material.prepreg))
    changes = {"name": material.id}
    numbers: dict[str, float] = {}
    if material.price_per_m2:
        numbers["price"] = material.price_per_m2
    if material.fibre_areal_g_m2 is not None:
        numbers["fibre_area_mass"] = si("fibre_areal_g_m2", material.fibre_areal_g_m2)
    if material.resin_content_pct is not None:
        numbers["resin_share"] = si("resin_content_percent", material.resin_content_pct)
    return replace(shipped, **changes, **numbers)  # type: ignore[arg-type]


def _own(material: Material) -> Prepreg:
    fibre, resin = material.fibre, material.resin
    assert fibre is not None
    assert resin is not None
    assert material.fibre_areal_g_m2 is not None
    assert material.resin_content_pct is not None
    return Prepreg(
        name=material.id,
        fibres=(_fibre(fibre),),
        resin=_resin(resin),
        fibre_area_mass=si("fibre_areal_g_m2", material.fibre_areal_g_m2),
        resin_share=si("resin_content_percent", material.resin_content_pct),
        void_share=si("void_percent", material.void_pct),
        architecture=material.architecture,
        crimp_E=material.crimp_E,
        crimp_Xt=material.crimp_X,
        crimp_Xc=material.crimp_X,
        nu23=fibre.nu23 if isinstance(fibre, FibreData) else None,
        price=material.price_per_m2,
    )


def _fibre(given: str | FibreData) -> Fibre:
    if isinstance(given, str):
        return library().fibre(given)

    def pressure(name: str) -> float | None:
        value = getattr(given, name)
        return None if value is None else si(name, value)

    source = given.note or Message("origin.own_fibre")
    return Fibre(
        id="own fibre",
        family=FAMILY.get(given.family, given.family),
        E1=si("E1_GPa", given.E1_GPa),
        E2=si("E2_GPa", given.E2_GPa),
        G12=si("G12_GPa", given.G12_GPa),
        nu12=given.nu12,
        nu23=given.nu23,
        density=given.density_kg_m3,
        alpha1=si("cte1_1e6_K", given.cte1_1e6_K),
        alpha2=si("cte2_1e6_K", given.cte2_1e6_K),
        conductive=given.conductive,
        strength=pressure("strength_MPa"),
        Xt_transfer=given.Xt_transfer,
        Xc_ref=pressure("Xc_ref_MPa"),
        Yt_ref=pressure("Yt_ref_MPa"),
        Yc_ref=pressure("Yc_ref_MPa"),
        S_ref=pressure("S_ref_MPa"),
        provenance=Provenance(source, (), ""),
    )


def _resin(given: str | ResinData) -> Resin:
    if isinstance(given, str):
        return library().resin(given)
    source = given.note or Message("origin.own_resin")
    return Resin(
        id="own resin",
        E=si("E_GPa", given.E_GPa),
        nu=given.nu,
        density=given.density_kg_m3,
        alpha=si("cte_1e6_K", given.cte_1e6_K),
        Tg_dry=si("Tg_dry_C", given.Tg_dry_C),
        Tg_wet=si("Tg_wet_C", given.Tg_wet_C),
        provenance=Provenance(source, (), ""),
    )


def _with_given(prepreg: Prepreg, given: Given, material: Material) -> Prepreg:
    source = given.note or Message(f"origin.given.{given.kind}")
    lot = given.lot or material.lot
    if given.figure == "total_g_m2":
        total = si("total_g_m2", given.value)
        share = float(lot_resin_share(total, fibre_area_mass=prepreg.fibre_area_mass))
        return prepreg.with_measured(
            {"area_mass": total, "resin_share": share}, source=source, lot=lot, kind=given.kind
        )
    if given.figure == "resin_content_pct":
        share = si("resin_content_percent", given.value)
        return prepreg.with_measured({"resin_share": share}, source=source, lot=lot, kind=given.kind)
    return prepreg.with_measured(
        {FIGURES[given.figure]: si(given.figure, given.value)}, source=source, lot=lot, kind=given.kind
    )
