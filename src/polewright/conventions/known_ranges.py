"""What is known of fibres and resins: outside these ranges a figure is doubted, and kept only where a shop insists.

Figures are in the unit that the field of a material document ends with. Each range holds all classes of its family in
the shipped tables (`materials/data/fibres.toml`, `resins.toml`, whose rows cite their sources), their own ranges
included, and leaves a margin of a third and more beyond them; a test compares the two.
"""

from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["FIBRE_RANGES", "RESIN_RANGES"]

Ranges = Mapping[str, tuple[float, float]]


def _fibre(**ranges: tuple[float, float]) -> Ranges:
    return MappingProxyType(ranges)


FIBRE_RANGES: Mapping[str, Ranges] = MappingProxyType(
    {
        "carbon": _fibre(
            E1_GPa=(20.0, 1000.0), E2_GPa=(2.0, 40.0), G12_GPa=(2.0, 60.0), density_kg_m3=(1500.0, 2400.0),
            cte1_1e6_K=(-5.0, 5.0), cte2_1e6_K=(2.0, 40.0), strength_MPa=(200.0, 10000.0),
            Xc_ref_MPa=(150.0, 3000.0), Yt_ref_MPa=(5.0, 150.0), Yc_ref_MPa=(40.0, 400.0), S_ref_MPa=(15.0, 200.0),
        ),
        "glass": _fibre(
            E1_GPa=(40.0, 130.0), E2_GPa=(40.0, 130.0), G12_GPa=(15.0, 60.0), density_kg_m3=(2200.0, 3000.0),
            cte1_1e6_K=(0.0, 15.0), cte2_1e6_K=(0.0, 15.0), strength_MPa=(300.0, 8000.0),
            Xc_ref_MPa=(300.0, 2000.0), Yt_ref_MPa=(10.0, 120.0), Yc_ref_MPa=(50.0, 350.0), S_ref_MPa=(20.0, 160.0),
        ),
        "aramid": _fibre(
            E1_GPa=(30.0, 220.0), E2_GPa=(1.0, 15.0), G12_GPa=(0.8, 10.0), density_kg_m3=(1300.0, 1600.0),
            cte1_1e6_K=(-10.0, 3.0), cte2_1e6_K=(20.0, 120.0), strength_MPa=(500.0, 7000.0),
            Xc_ref_MPa=(80.0, 600.0), Yt_ref_MPa=(5.0, 80.0), Yc_ref_MPa=(30.0, 300.0), S_ref_MPa=(15.0, 130.0),
        ),
        "basalt": _fibre(
            E1_GPa=(40.0, 140.0), E2_GPa=(40.0, 140.0), G12_GPa=(15.0, 60.0), density_kg_m3=(2300.0, 3200.0),
            cte1_1e6_K=(1.0, 20.0), cte2_1e6_K=(1.0, 20.0), strength_MPa=(300.0, 6000.0),
            Xc_ref_MPa=(250.0, 2000.0), Yt_ref_MPa=(10.0, 120.0), Yc_ref_MPa=(50.0, 350.0), S_ref_MPa=(20.0, 160.0),
        ),
        "flax": _fibre(
            E1_GPa=(10.0, 150.0), E2_GPa=(1.0, 20.0), G12_GPa=(0.8, 10.0), density_kg_m3=(1100.0, 1700.0),
            cte1_1e6_K=(-15.0, 10.0), cte2_1e6_K=(10.0, 150.0), strength_MPa=(100.0, 4000.0),
            Xc_ref_MPa=(40.0, 400.0), Yt_ref_MPa=(4.0, 60.0), Yc_ref_MPa=(20.0, 200.0), S_ref_MPa=(8.0, 100.0),
        ),
    }
)  # fmt: skip
"""By the family of a fibre as a document names it, then by field; `_ref_` of a ply with 60 % fibre."""

RESIN_RANGES: Ranges = MappingProxyType(
    {
        "E_GPa": (1.0, 8.0),
        "nu": (0.2, 0.48),
        "density_kg_m3": (950.0, 1600.0),
        "cte_1e6_K": (20.0, 120.0),
        "Tg_dry_C": (40.0, 350.0),
        "Tg_wet_C": (20.0, 330.0),
    }
)
"""By field."""
