"""Fibre, resin and prepreg: from what is bought to the constants of a cured ply."""

from polewright.materials.constituents import FibreConstants, ResinConstants
from polewright.materials.library import Library, library
from polewright.materials.micromechanics import ply_elastic
from polewright.materials.origin import Origin, Step
from polewright.materials.ply import Elastic, Ply, Strength

__all__ = ["Elastic", "FibreConstants", "Library", "Origin", "Ply", "ResinConstants", "Step", "Strength", "library",
           "ply_elastic"]
