"""Flags, kits, seams round the clock, cut files and cost."""

from polewright.shop.cost import MaterialUse, material_cost, material_use
from polewright.shop.cut_files import Release, cut_list, dxf, svg_true_size
from polewright.shop.cut_sheet import Band, Cut, CutSheet, cut_sheet, layer_name, on_the_roll
from polewright.shop.flag import Flag, fibre_drift, flag_width, true_angle
from polewright.shop.hpgl import HpglJob, HpglTile, hpgl, hpgl_scaled
from polewright.shop.joints import JointRules, Joints, joint_spans, piece_outlines, spread_joints
from polewright.shop.kit import CutRules, Kit, KitFlag, Piece, section_kit, with_split
from polewright.shop.seam_clock import SeamClock, extra_harmonics, seam_clock, section_clock, spread_starts

__all__ = [
    "Band",
    "Cut",
    "CutRules",
    "CutSheet",
    "Flag",
    "HpglJob",
    "HpglTile",
    "JointRules",
    "Joints",
    "Kit",
    "KitFlag",
    "MaterialUse",
    "Piece",
    "Release",
    "SeamClock",
    "cut_list",
    "cut_sheet",
    "dxf",
    "extra_harmonics",
    "fibre_drift",
    "flag_width",
    "hpgl",
    "hpgl_scaled",
    "joint_spans",
    "layer_name",
    "material_cost",
    "material_use",
    "on_the_roll",
    "piece_outlines",
    "seam_clock",
    "section_clock",
    "section_kit",
    "spread_joints",
    "spread_starts",
    "svg_true_size",
    "true_angle",
    "with_split",
]
