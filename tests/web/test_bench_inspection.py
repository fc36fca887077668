"""Every kind of test is kept by the app and the API; no pole is called sound without its proof."""

import re
from typing import Any

import pytest
from tests.said import said

from polewright.workshop import RECORD_KINDS, Workshop

REED = "/poles/reedlight-7"
LOADS = {"load_g-0": "500", "reading_mm-0": "1.00", "load_g-1": "2500", "reading_mm-1": "2.40"}
FORMS: dict[str, dict[str, str]] = {
    "two-load bend": {"section": "3", "span_mm": "1400", **LOADS},
    "tip load": {"out": "0", "prop_mm": "1000", "load_g-0": "250", "reading_mm-0": "640", "load_g-1": "750",
                 "reading_mm-1": "1128"},
    "tube measured": {"section": "3", "mass_g": "190", "outside_mm": "28.6"},
    "joint sleeve": {"joint": "2", "prop_mm": "1000", "sleeve_mm": "300", "sleeve_EI_N_m2": "3000",
                     "load_g-0": "100", "reading_mm-0": "0", "load_g-1": "300", "reading_mm-1": "200",
                     "sleeved_load_g-0": "100", "sleeved_reading_mm-0": "0", "sleeved_load_g-1": "300",
                     "sleeved_reading_mm-1": "190"},
    "joint overlaps": {"joint": "2", "prop_mm": "1000", "overlap_mm": "254", "second_overlap_mm": "350",
                       "load_g-0": "100", "reading_mm-0": "0", "load_g-1": "300", "reading_mm-1": "199.551",
                       "second_load_g-0": "100", "second_reading_mm-0": "0", "second_load_g-1": "300",
                       "second_reading_mm-1": "188.931"},
    "bend at two spans": {"section": "3", "span_mm": "1400", "second_span_mm": "500", **LOADS,
                          "second_readings_load_g-0": "500", "second_readings_reading_mm-0": "0",
                          "second_readings_load_g-1": "2500", "second_readings_reading_mm-1": "0.083"},
    "torsion test": {"section": "3", "length_mm": "1200", "arm_mm": "200", "lever_mm": "150", "load_g-0": "500",
                "reading_mm-0": "0", "load_g-1": "2500", "reading_mm-1": "14.4"},
    "ring of off-cut": {"section": "3", "width_mm": "20", "load_g-0": "500", "reading_mm-0": "0",
                        "load_g-1": "2000", "reading_mm-1": "0.115"},
    "tap tone": {"section": "3", "length_mm": "600", "mass_g": "68.8", "outside_mm": "28.64", "bore_mm": "26.93",
                 "tones_frequency_Hz-0": "758", "tones_frequency_Hz-1": "759.5"},
    "own weight": {"out": "0", "prop_mm": "1000", "droops_reading_mm-0": "390", "droops_clock_deg-0": "0",
                   "droops_reading_mm-1": "376", "droops_clock_deg-1": "180"},
    "swing test": {"out": "0", "prop_mm": "1000", "load_g": "540", "counts_swings-0": "10", "counts_time_s-0": "18.5",
              "counts_swings-1": "10", "counts_time_s-1": "18.6"},
    "clamp pull": {"joint": "2", "surface": "soapy", "pulls_pull_N-0": "190", "pulls_pull_N-1": "194"},
    "proof load": {"load_g": "1.2 kg", "time_s": "12", "set_mm": "1", "creak": "no"},
    "sight and tap": {"tapped": "yes", "defects_defect-0": "crush", "defects_section-0": "3",
                      "defects_at_mm-0": "250", "defects_accepted-0": "scratch alone"},
}  # fmt: skip


@pytest.mark.parametrize("kind", FORMS)
def test_every_kind_is_kept_shown_and_put_right_by_the_page(client: Any, workshop: Workshop, kind: str) -> None:
    assert set(FORMS) == set(RECORD_KINDS)
    form = {"kind": kind, "serial": "R7-1", **FORMS[kind]}
    kept = client.post(f"{REED}/tests", data=form)
    assert kept.status_code == 303, kept.text
    (entry,) = workshop.records.listed()
    page = client.get(f"{REED}/bench?correct={entry.number}").text
    (own,) = [each for each in page.split("<form")[1:] if f'name="kind" value="{kind}"' in each]
    numbers = {name: text for name, text in FORMS[kind].items() if re.fullmatch(r"[\d.]+", text)}
    for name, text in numbers.items():
        is_same = rf'name="{name}"[^>]*value="{text.rstrip("0").rstrip(".") if "." in text else text}"'
        assert re.search(is_same, own) or f'<option value="{text}" selected' in own, (name, text)
    shown = page[page.index('id="tests-kept"') :]
    assert said(f"bench.kind.{RECORD_KINDS[kind].code}", section=3, joint=2) in shown
    result = client.get(f"/api/tests/{entry.number}/result").json()
    answer = workshop.records.answer(entry)
    assert result["verdict"].replace(" ", "_") in (
        "agrees",
        "reads_low",
        "reads_high",
        "cannot_tell",
        "passes",
        "fails",
    )
    if answer.measured is not None:
        assert result["unit"]
        assert result["uncertainty"] > 0.0


def test_a_record_of_every_kind_is_the_same_by_the_api(client: Any, workshop: Workshop) -> None:
    for kind, fields in FORMS.items():
        assert client.post(f"{REED}/tests", data={"kind": kind, "serial": "R7-1", **fields}).status_code == 303
    for entry in workshop.records.listed():
        record = entry.record.model_copy(update={"design_hash": ""}).plain()
        sent = client.post("/api/poles/reedlight-7/tests", json={"record": record})
        assert sent.status_code == 201, sent.text
        assert sent.json()["record"]["test"] == entry.record.plain()["test"]


def test_a_pole_is_sound_on_the_page_and_by_the_api_only_when_it_is_proved(client: Any) -> None:
    def standing() -> list[tuple[str, str]]:
        found = client.get("/api/poles/reedlight-7/standings").json()
        assert ('id="standings"' in client.get(f"{REED}/bench").text) is bool(found)
        return [(each["serial"], each["state"]) for each in found]

    def keep(kind: str, **more: str) -> None:
        sent = client.post(f"{REED}/tests", data={"kind": kind, "serial": "R7-1", **FORMS[kind], **more})
        assert sent.status_code == 303, sent.text

    client.post(f"{REED}/tests", data={"kind": "two-load bend", "serial": "R7-1-S3", **FORMS["two-load bend"]})
    assert standing() == [], "a tube is no pole"
    keep("tip load")
    assert standing() == [("R7-1", "not_proved")]
    keep("sight and tap")
    assert standing() == [("R7-1", "not_proved")]
    keep("proof load")
    assert standing() == [("R7-1", "sound")]
    page = client.get(f"{REED}/bench").text
    assert said("bench.standing.sound") in page
    keep("proof load", creak="yes")
    assert standing() == [("R7-1", "not_sound")]
    assert said("bench.proof.creak") in client.get(f"{REED}/bench").text.replace("&#39;", "'")


@pytest.mark.parametrize(
    ("kind", "changed", "field"),
    [("proof load", {"set_mm": ""}, "set_mm"), ("proof load", {"creak": "perhaps"}, "creak"),
     ("sight and tap", {"defects_defect-0": "scratch"}, "defects_defect-0"),
     ("swing test", {"counts_time_s-1": "x"}, "counts_time_s-1"),
     ("clamp pull", {"pulls_pull_N-0": "", "pulls_pull_N-1": ""}, "pulls_pull_N-0"),
     ("tap tone", {"tones_frequency_Hz-0": "-3"}, "tones_frequency_Hz-0")],
)  # fmt: skip
def test_what_cannot_be_is_refused_at_its_field(
    client: Any, workshop: Workshop, kind: str, changed: Any, field: str
) -> None:
    form = {"kind": kind, "serial": "R7-1", **FORMS[kind], **changed}
    answer = client.post(f"{REED}/tests", data=form, headers={"accept": "application/json"})
    assert answer.status_code == 422
    assert [fault["field"].removeprefix("test.") for fault in answer.json()["faults"]] == [field]
    assert workshop.records.listed() == ()
