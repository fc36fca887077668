"""What is said of one section's wall, with the unit in every name; the same values feed screen, table and JSON."""

from typing import Annotated, Literal

from pydantic import Field

from polewright.documents.document import Document, Part

__all__ = [
    "ChangeFigures",
    "LimitFigures",
    "PlyFigures",
    "PlyStress",
    "ReserveFigures",
    "SlopeFigures",
    "SqueezeFigures",
    "ThroughPoint",
    "Tiers",
    "WallFigures",
    "WhyWall",
]

Number = Annotated[float, Field(allow_inf_nan=False)]


class Tiers(Part):
    """One figure by thin-wall theory and by the exact layered tube."""

    name: str
    unit: str
    thin: Number
    exact: Number


class LimitFigures(Part):
    """One way a wall ends; `load` has the knock-down in."""

    under: Literal["bending", "push"]
    name: str
    unit: str
    perfect: Number
    knock_down: Number
    load: Number
    range: str
    is_in_range: bool
    is_first: bool


class SqueezeFigures(Part):
    """Pressed from two sides until the first ply breaks; beyond a tenth of the bore the figure is a guide only."""

    how: str
    force_N: Number
    closure_mm: Number
    stiffness_N_mm: Number
    breaks: str
    is_large: bool


class ReserveFigures(Part):
    """Times the reference moment at first failure, by one criterion; None where nothing breaks at any multiple."""

    strengths: Literal["design values", "lab means"]
    criterion: str
    cure_in: Number | None
    cure_in_breaks: str
    cure_out: Number | None
    cure_out_breaks: str


class PlyStress(Part):
    """Stress of one layer at one face, ply axes: from cooling, and of the reference moment on the pulled side."""

    layer: int
    face: Literal["bore side", "outer"]
    prepreg: str
    angle_deg: Number
    cure_along_fibre_MPa: Number
    cure_across_MPa: Number
    cure_shear_MPa: Number
    bending_along_fibre_MPa: Number
    bending_across_MPa: Number
    bending_shear_MPa: Number
    reserve: Number | None
    mode: str


class ThroughPoint(Part):
    """Stress at one place through the wall in tube axes, pulled side: reference moment alone, and cooling alone."""

    radius_mm: Number
    layer: int
    bending_along_MPa: Number
    bending_around_MPa: Number
    bending_through_MPa: Number
    cure_along_MPa: Number
    cure_around_MPa: Number
    cure_through_MPa: Number


class PlyFigures(Part):
    """What one wrap earns: its share of each figure in percent; each column adds up to 100."""

    wrap: int
    prepreg: str
    angle_deg: Number
    turns: Number
    along_pct: Number
    around_pct: Number
    twist_pct: Number
    mass_pct: Number
    cost_pct: Number


class ChangeFigures(Part):
    """One wrap taken out, turned or thickened, and the change of each figure in percent; cost per metre of tube."""

    wrap: int
    what: str
    axial_pct: Number
    bending_pct: Number
    twist_pct: Number
    ring_pct: Number
    flattening_pct: Number
    mass_pct: Number
    wall_mm: Number
    cost_per_m: Number


class SlopeFigures(Part):
    """Exact slope: percent of each figure for one percent of a parameter of one wrap, for an angle for one degree."""

    wrap: int
    parameter: str
    step: str
    axial_pct: Number
    bending_pct: Number
    twist_pct: Number
    shear_pct: Number
    ring_pct: Number
    flattening_pct: Number
    mass_pct: Number


class WhyWall(Part):
    """Where a group of figures comes from."""

    figures: str
    words: str
    source: str


class WallFigures(Document):
    """All figures of one section's wall."""

    document: Literal["wall-figures"] = "wall-figures"
    name: str
    section: int
    stack: str
    bore_mm: Number
    outside_mm: Number
    wall_mm: Number
    mass_per_length_g_m: Number
    strengths: Literal["design values", "lab means", "unknown"]
    tiers: tuple[Tiers, ...]
    shear_coefficient: Number
    band_least_N: Number
    band_most_N: Number
    band_most_exact_N: Number
    band_words: str
    squeezes: tuple[SqueezeFigures, ...]
    collar_MPa: Number | None
    collar_collapse_MPa: Number
    limits: tuple[LimitFigures, ...]
    fails_first_bending: str
    fails_first_push: str
    reference_moment_N_m: Number
    first_ply_N_m: Number | None
    first_ply_words: str
    last_ply_N_m: Number | None
    last_ply_steps: tuple[str, ...]
    reserves: tuple[ReserveFigures, ...]
    stresses: tuple[PlyStress, ...]
    through: tuple[ThroughPoint, ...]
    cold_bore_mm: Number
    cold_outside_mm: Number
    length_change_mm: Number
    twist_after_cure_deg: Number
    release_gap_mm: Number
    grip_MPa: Number
    pull_off_at_most_kN: Number
    release_words: str
    seam_starts_deg: tuple[Number, ...]
    seam_peak_to_peak_pct: Number
    seam_spine_deg: Number
    seam_bow_mm: Number
    earns: tuple[PlyFigures, ...]
    changes: tuple[ChangeFigures, ...]
    slopes: tuple[SlopeFigures, ...]
    rules: tuple[str, ...]
    why: tuple[WhyWall, ...]
