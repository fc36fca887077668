"""What documents rarely are: without a source, without a wish, nested for ever, shipped prepregs of another content."""

import math
from typing import Annotated, Any

import pytest
from pydantic import Field, ValidationError
from tests.kept.whole import design_of

from polewright.codes import Message
from polewright.documents.brief import DroopWish
from polewright.documents.design import Design
from polewright.documents.document import Part
from polewright.documents.files import DocumentError, document_of, remedy_of
from polewright.documents.material import Material
from polewright.documents.paths import with_fields
from polewright.documents.plain_checks import DEEPEST, forbidden_values
from polewright.documents.shelf import ply_record
from polewright.documents.test_record import TestRecord
from polewright.documents.values import draft_workpiece, workpiece
from polewright.errors import PolewrightError
from polewright.materials.prepreg import stock_prepreg


class Numbers(Part):
    """Numbers as documents hold them: alone, in a row, between bounds."""

    alone: float = 0.0
    several: tuple[float, ...] = ()
    bounded: Annotated[float, Field(gt=0.0)] = 1.0
    perhaps: Annotated[float, Field(le=50.0)] | None = None


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf])
@pytest.mark.parametrize("field", ["alone", "several", "bounded", "perhaps"])
def test_a_number_of_a_document_is_finite(field: str, number: float) -> None:
    with pytest.raises(ValidationError) as refused:
        Numbers.model_validate({field: (number,) if field == "several" else number})
    assert {error["type"] for error in refused.value.errors()} == {"finite_number"}


def refused(of: Any, **plain: Any) -> Message:
    with pytest.raises(ValidationError) as found:
        of.model_validate(plain)
    want = found.value.errors()[0]["ctx"]["error"].args[0]
    assert isinstance(want, Message)
    return want


@pytest.mark.parametrize("wish", [{}, {"at_most_mm": 300.0, "wanted_mm_per_100g": 20.0}])
def test_a_droop_wish_is_a_limit_or_a_wanted_flex(wish: dict[str, float]) -> None:
    want = refused(DroopWish, **wish)
    assert (want.code, want.values["fields"]) == ("want.either_of", ("at_most_mm", "wanted_mm_per_100g"))


def test_a_material_has_a_shipped_prepreg_or_all_its_parts() -> None:
    want = refused(Material, id="A", fibre="pan_sm_230", resin_content_pct=36.0)
    parts = ("fibre", "resin", "fibre_areal_g_m2", "resin_content_pct")
    assert (want.code, want.values["fields"]) == ("want.prepreg_or_its_parts", parts)
    assert want.values["missing"] == ("resin", "fibre_areal_g_m2")


def test_a_tip_test_has_two_loads() -> None:
    rows = [{"load_g": 500.0, "reading_mm": 1.0}, {"load_g": 500.0, "reading_mm": 1.1}]
    assert refused(TestRecord, serial="A", test={"kind": "tip load", "readings": rows}).code == "want.two_loads_of_tip"


def test_a_shipped_prepreg_keeps_what_the_lot_does_not_say() -> None:
    shipped = stock_prepreg("ud_sm_150")
    own = ply_record(Material(id="A", prepreg="ud_sm_150"))
    assert own.ply.name == "A"
    assert own.ply.price == shipped.price
    assert ply_record(Material(id="A", prepreg="ud_sm_150", price_per_m2=77.0)).ply.price == 77.0
    heavier = ply_record(Material(id="A", prepreg="ud_sm_150", fibre_areal_g_m2=2e3 * shipped.fibre_area_mass))
    assert heavier.ply.thickness == pytest.approx(2.0 * own.ply.thickness)
    wetter = ply_record(Material(id="A", prepreg="ud_sm_150", resin_content_pct=50.0))
    given = ply_record(
        Material.model_validate(
            {
                "id": "A",
                "prepreg": "ud_sm_150",
                "given": [{"figure": "resin_content_pct", "value": 50.0, "kind": "measured"}],
            }
        )
    )
    assert pytest.approx(given.ply.thickness) == wetter.ply.thickness
    assert wetter.ply.thickness > own.ply.thickness


def test_a_section_that_does_not_go_in_names_the_next_one_and_its_bore() -> None:
    plain = design_of("reedlight-7").plain()
    plain["mandrels"] = [
        {**m, "profile": [{**p, "diameter_mm": 21.0} for p in m["profile"]]} for m in plain["mandrels"]
    ]
    design = Design.model_validate(plain)
    draft = draft_workpiece(design)
    assert [field for field, _, _ in draft.misfits] == [f"sections[{i}].outside" for i in range(len(draft.fits))]
    for i, (_, given, want) in enumerate(draft.misfits):
        assert isinstance(given, Message)
        assert isinstance(want, Message)
        assert given.values["value"] == draft.fits[i].inner
        assert (want.values["bore"], want.values["section"]) == (draft.fits[i].outer, i + 2)
    with pytest.raises(DocumentError):
        workpiece(design)


def test_a_refusal_inside_a_part_is_told_with_its_place() -> None:
    plain = design_of("reedlight-7").plain()
    plain["sections"][1]["place_mm"] = 2.9e4
    with pytest.raises(PolewrightError) as found:
        workpiece(Design.model_validate(plain))
    assert found.value.faults[0][0].startswith("sections[1].")


def test_a_supposed_field_makes_the_table_it_stands_in() -> None:
    design = design_of("reedlight-7")
    plain = design.plain()
    plain.pop("setting")
    supposed = with_fields(Design.model_validate(plain), ["setting.prop_mm=900"])
    assert supposed.setting.prop_mm == 900.0


def test_a_supposed_pole_stays_a_pole() -> None:
    with pytest.raises(PolewrightError) as found:
        with_fields(design_of("reedlight-7"), ["document=pole-brief"])
    assert found.value.faults


def test_what_no_other_remedy_knows_is_named_by_its_kind() -> None:
    assert remedy_of({"type": "of_no_kind", "loc": ()}) == Message("want.other_value", kind="of_no_kind")


def test_forbidden_values_are_looked_for_only_as_deep_as_fields_lie() -> None:
    def nested(depth: int) -> Any:
        return True if depth == 0 else {"maker": nested(depth - 1)}

    assert list(forbidden_values(nested(DEEPEST), Design)) != []
    assert list(forbidden_values(nested(DEEPEST + 1), Design)) == []


@pytest.mark.parametrize("version", [0, 2, True, "1", 1.0])
def test_a_version_that_this_program_does_not_know_is_refused(version: Any) -> None:
    with pytest.raises(DocumentError) as found:
        document_of({**design_of("reedlight-7").plain(), "schema_version": version})
    assert found.value.faults[0][0] == "schema_version"
