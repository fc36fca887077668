"""Poles drawn by a seed with what a workshop has of its own: shipped and own prepregs, figures of lots, rules, bars."""

from functools import cache
from typing import Any

from polewright.documents.design import Design
from tests.kept.drawn import Draw, drawn_pole

FURTHER = tuple(f"further-{number}" for number in (1, 4, 8, 9, 13, 28))
SHIPPED = ("ud_sm_150", "ud_hs_100", "ud_eg_150", "ud_im_100", "ud_sm_75", "w_eg_plain_105", "w_spread_plain_80")
FIBRES, RESINS = ("pan_sm_230", "e_glass", "pan_im_290"), ("ep120_tough", "ep135_tough", "ep80_low")
METALS = ("steel_carbon", "aluminium_6000", "aluminium_7000", "composite_carbon")
GIVEN = (
    ("E1_GPa", 119.0), ("E2_GPa", 8.1), ("G12_GPa", 3.9), ("nu12", 0.31), ("nu23", 0.41), ("density_kg_m3", 1580.0),
    ("cte1_1e6_K", 0.4), ("cte2_1e6_K", 27.0), ("Xt_MPa", 1710.0), ("Xc_MPa", 930.0), ("Yt_MPa", 41.0),
    ("Yc_MPa", 170.0), ("S_MPa", 71.0), ("resin_content_pct", 38.0), ("total_g_m2", 260.0),
)  # fmt: skip
RULES: tuple[dict[str, Any], ...] = (
    {"id": "sanding", "limit": 0.5}, {"id": "balance", "is_on": False}, {"id": "block", "limit": 0.0004},
    {"id": "neighbours", "is_on": True, "limit": 0.6}, {"id": "seams-apart", "limit": 0.7},
    {"id": "loose-joint", "limit": 0.0001}, {"id": "woven-skin", "title": "A skin"},
    {"id": "carbon-on-aluminium", "reason": "it was seen", "remedy": "turn it"},
    {"id": "own-wall", "judge": "least-wall", "limit": 0.0011, "title": "Thick", "reason": "why", "remedy": "more"},
    {"id": "own-block", "judge": "block", "limit": 0.0005, "ply": "SM150", "title": "Few", "reason": "", "remedy": ""},
    {"id": "own-joint", "judge": "loose-joint", "limit": 0.0004, "title": "Snug", "reason": "r", "remedy": "m"},
)  # fmt: skip


@cache
def further_pole(name: str) -> Design:
    """A pole by the number at the end of its name: drawn, then given what a workshop may have of its own."""
    number = int(name.rpartition("-")[2])
    draw, plain = Draw(500 + number), dict(drawn_pole(f"drawn-{100 + number}").plain())
    plain |= {"name": name.replace("-", " ").capitalize(), "maker": "Quillbeck", "note": draw.of("", "made twice")}
    used = {ply["prepreg"] for section in plain["sections"] for ply in section["stack"]}
    plain["materials"] = [_material(draw, m) if m["id"] in used else m for m in plain["materials"]]
    plain["mandrels"] = [
        {**m, "material": draw.of(*METALS), **draw.some(0.4, cte_1e6_K=draw.between(3, 20))} for m in plain["mandrels"]
    ]
    bores = {m["id"]: m["profile"][0]["diameter_mm"] for m in plain["mandrels"]}
    plain["sections"] = [
        {**s, **draw.some(0.4, bore_mm=round(bores[s["mandrel"]] - 0.05, 3))} for s in plain["sections"]
    ]
    chosen = [dict(rule) for rule in RULES if draw.uniform() < 0.5]
    plain["setting"] = {**plain.get("setting", {}), "rules": chosen, "spreads": _spreads(draw)}
    return Design.model_validate(plain)


def _material(draw: Draw, material: dict[str, Any]) -> dict[str, Any]:
    """The same name for a shipped prepreg, one of a listed fibre and resin, or its own with figures of a lot."""
    common = {
        "id": material["id"],
        "price_per_m2": draw.between(9, 60),
        **draw.some(0.5, roll_width_mm=1270.0, lot="L7"),
    }
    given = [
        {
            "figure": figure,
            "value": value,
            "kind": draw.of("certificate", "measured"),
            **draw.some(0.5, note="by us", lot="L8"),
        }
        for figure, value in GIVEN
        if draw.uniform() < 0.25
    ]
    kind = draw.of("shipped", "listed", "own")
    if kind == "shipped":
        few = draw.some(0.4, fibre_areal_g_m2=120.0, resin_content_pct=37.0)
        return {
            **common,
            "prepreg": draw.of(*SHIPPED),
            **few,
            "given": [g for g in given if g["figure"] != "total_g_m2"],
        }
    if kind == "listed":
        woven = draw.some(0.4, architecture="weave", crimp_E=0.8, crimp_X=0.7)
        return {
            **common, "fibre": draw.of(*FIBRES), "resin": draw.of(*RESINS), "fibre_areal_g_m2": 110.0,
            "resin_content_pct": 36.0, "model": draw.of("halpin-tsai", "square-root", "cylinders"), "given": given,
            **draw.some(0.5, void_pct=1.5), **woven,
        }  # fmt: skip
    return {**material, **common, "given": [g for g in given if g["figure"] != "total_g_m2"]}


def _spreads(draw: Draw) -> list[dict[str, Any]]:
    found = []
    for figure in ("E1", "across", "areal_mass", "resin", "mandrel", "finish", "overlap", "clamp"):
        between, values = draw.of("lot", "tube"), [draw.between(0.8, 1.2, 3) for _ in range(5)]
        if draw.uniform() < 0.3:
            found.append({"figure": figure, "between": between, "values": values})
    return found
