"""Fibre, resin and prepreg: from what is bought to the constants of a cured ply."""

from polewright.materials.constituents import FibreConstants, ResinConstants
from polewright.materials.content import (
    cured_density,
    cured_thickness,
    fibre_share_of_thickness,
    fibre_volume_share,
    lot_resin_share,
    prepreg_area_mass,
    resin_share_after_bleed,
    resin_share_of,
)
from polewright.materials.cured import Models
from polewright.materials.entries import (
    Fibre,
    Hazard,
    Knockdown,
    MandrelMaterial,
    PrepregEntry,
    Provenance,
    Resin,
    Row,
    Scalar,
)
from polewright.materials.expansion import ply_expansion
from polewright.materials.library import Library, library
from polewright.materials.micromechanics import ply_elastic
from polewright.materials.origin import Origin, Step
from polewright.materials.ply import Elastic, Ply, Strength
from polewright.materials.prepreg import PlyRecord, Prepreg, stock_prepreg
from polewright.materials.service import (
    cure_of_glass_transition,
    glass_transition_of_cure,
    matrix_retention,
    service_limit,
    softened,
    sun_warmed,
    wet_glass_transition,
)
from polewright.materials.weave import woven

__all__ = [
    "Elastic",
    "Fibre",
    "FibreConstants",
    "Hazard",
    "Knockdown",
    "Library",
    "MandrelMaterial",
    "Models",
    "Origin",
    "Ply",
    "PlyRecord",
    "Prepreg",
    "PrepregEntry",
    "Provenance",
    "Resin",
    "ResinConstants",
    "Row",
    "Scalar",
    "Step",
    "Strength",
    "cure_of_glass_transition",
    "cured_density",
    "cured_thickness",
    "fibre_share_of_thickness",
    "fibre_volume_share",
    "glass_transition_of_cure",
    "library",
    "lot_resin_share",
    "matrix_retention",
    "ply_elastic",
    "ply_expansion",
    "prepreg_area_mass",
    "resin_share_after_bleed",
    "resin_share_of",
    "service_limit",
    "softened",
    "stock_prepreg",
    "sun_warmed",
    "wet_glass_transition",
    "woven",
]
