"""Whatever is wrong with a file: one message naming field, value and remedy, exit code 2, nothing half written."""

import tomllib
from math import pi

import pytest
import tomli_w
from tests.said import refused, refused_in_file, said

from polewright.codes import Message
from polewright.words.reports.plain import plain_text


def spoilt(path, change):
    plain = tomllib.loads(path.read_text(encoding="utf-8"))
    change(plain)
    return tomli_w.dumps(plain)


def put(field, value):
    def change(plain):
        *way, last = field
        for step in way:
            plain = plain[step]
        plain[last] = value

    return change


def drop(*field):
    def change(plain):
        *way, last = field
        for step in way:
            plain = plain[step]
        del plain[last]

    return change


def bound(kind, value):
    """A figure of a refusal in SI, as the core gives it."""
    return Message(f"bound.{kind}", value=value)


KINDS = ("pole-design", "brief", "material", "mandrel", "test-record")
RACK = ("M23-A", "M25-A", "M27-A", "M29-A", "M31-A")
RULES = ("around-both-sides", "balance", "block", "carbon-on-aluminium", "least-wall", "loose-joint", "neighbours")
RULES += ("no-bare-axial", "sanding", "seams-apart", "whole-turns", "woven-skin")
CASES = {  # what is spoilt; the field at fault, what stands there, what would be right, with values in SI
    "missing field": (drop("sections", 0, "length_mm"), "sections[0].length_mm", None, Message("want.missing")),
    "misspelt field": (
        put(("sections", 0, "lenght_mm"), 5),
        *("sections[0].lenght_mm", None, Message("want.field_spelled", name="length_mm")),
    ),
    "negative length": (
        put(("sections", 1, "length_mm"), -1650),
        *("sections[1].length_mm", "-1650", Message("limit.ge", limit=bound("length", 0.001))),
    ),
    "absurd length": (
        put(("sections", 1, "length_mm"), 1e9),
        *("sections[1].length_mm", "1000000000.0", Message("limit.le", limit=bound("length", 30.0))),
    ),
    "not a number": (put(("tip_fitting_g",), float("nan")), "tip_fitting_g", "nan", Message("want.finite_number")),
    "angle in radians": (
        put(("sections", 0, "stack", 0, "angle_deg"), 1.5708),
        *("sections[0].stack[0].angle_deg", "1.5708", Message("want.degrees", angle=pi / 2)),
    ),
    "section too fat": (
        put(("sections", 2, "stack", 1, "turns"), 9),
        *("sections[2].outside", bound("diameter", 0.029807)),
        Message("want.below_bore_of_next", bore=0.029039, section=4),
    ),
    "unknown prepreg": (
        put(("sections", 0, "stack", 1, "prepreg"), "SM15"),
        *("sections[0].stack[1].prepreg", "'SM15'", Message("want.one", choices=("SM150", "TH55"))),
    ),
    "unknown mandrel": (
        put(("sections", 0, "mandrel"), "M1"),
        *("sections[0].mandrel", "'M1'", Message("want.one", choices=RACK)),
    ),
    "unknown shipped prepreg": (
        put(("materials", 0, "prepreg"), "ud_sm_15O"),
        *("materials[0].prepreg", "'ud_sm_15O'"),
        Message("want.known_id", choices=("ud_sm_150", "ud_sm_75", "ud_sm_100")),
    ),
    "unknown fibre": (
        put(("materials", 0, "fibre"), "pan_sm_23"),
        *("materials[0].fibre", "'pan_sm_23'"),
        Message("want.known_id", choices=("pan_sm_230", "pan_im_290", "pan_hm_435")),
    ),
    "newer version": (put(("schema_version",), 7), "schema_version", "7", Message("want.known_version", most=1)),
    "other kind": (put(("document",), "pole"), "document", "'pole'", Message("want.one", choices=KINDS)),
    "overlap too long": (
        put(("joints", 0, "overlap_mm"), 1700),
        *("joints[0].overlap_mm", bound("length", 1.7), Message("want.below_shorter_tube", shorter=1.65)),
    ),
    "joint too few": (
        drop("joints", 0),
        *("document", None, Message("want.joint_between_sections", joints=3, sections=5)),
    ),
    "off the mandrel": (
        put(("sections", 0, "place_mm"), 900),
        *("sections[0].length_mm", Message("given.length_at_place", length=1.65, place=0.9)),
        Message("want.within_mandrel", length=2.2, mandrel="M23-A"),
    ),
    "cure below room": (
        put(("setting", "stress_free_C"), 10),
        *("setting", None, Message("want.stress_free_above_room", room=293.15)),
    ),
    "no turns": (
        put(("sections", 0, "stack", 0, "turns"), 0),
        *("sections[0].stack[0].turns", "0", Message("limit.gt", limit=0.0)),
    ),
    "impossible ratio": (
        put(("materials", 0, "fibre", "nu12"), 1.4),
        *("materials[0].fibre.nu12", "1.4", Message("limit.lt", limit=1.0)),
    ),
    "no stiffness": (
        put(("materials", 0, "fibre", "E1_GPa"), 0),
        *("materials[0].fibre.E1_GPa", "0", Message("limit.ge", limit=bound("modulus", 1e7))),
    ),
    "bell in a name": (put(("name",), "Reed\x07light"), "name", r"'Reed\x07light'", Message("want.one_line")),
    "no shape": (
        put(("joints", 0, "stiffness_kN_m_rad"), 1e-9),
        *("shape of the pole", Message("given.not_found_after_corrections", iterations=30)),
        Message("want.balance_with_less_load"),
    ),
    "too much fibre": (
        put(("materials", 0, "resin_content_pct"), 5.0),
        *("materials[0].resin_content_pct", "5.0", Message("limit.ge", limit=bound("share", 0.1))),
    ),
    "unknown rule": (
        put(("setting", "rules"), [{"id": "no-such"}]),
        *("setting.rules[0].id", "'no-such'", Message("want.known_rule_or_judge", choices=RULES)),
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_spoilt_design_gets_one_message_and_exit_code_2(polewright, reedlight, tmp_path, case):
    change, field, value, want = CASES[case]
    (tmp_path / "spoilt.toml").write_text(spoilt(reedlight, change), encoding="utf-8")
    done = polewright("check", "spoilt.toml")
    assert done.returncode == 2, done.stdout
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    assert done.stderr == f"polewright: spoilt.toml: {plain_text(refused_in_file(field, value, want))}\n"


@pytest.mark.parametrize(
    "command",
    [
        ("kit", "spoilt.toml", "--out", "kit"),
        ("sheet", "spoilt.toml", "--out", "s.pdf"),
        ("check", "spoilt.toml", "--json"),
    ],
)
def test_no_output_is_half_written(polewright, reedlight, tmp_path, command):
    (tmp_path / "spoilt.toml").write_text(spoilt(reedlight, CASES["section too fat"][0]), encoding="utf-8")
    done = polewright(*command)
    assert done.returncode == 2
    assert done.stdout == ""
    left = [p for p in tmp_path.rglob("*") if p.is_file() and p.name != "spoilt.toml" and "cache" not in p.parts]
    assert left == []


@pytest.mark.parametrize("share", [0.0, 0.1, 0.5, 0.9])
def test_truncated_file_is_refused(polewright, reedlight, tmp_path, share):
    data = reedlight.read_bytes()
    (tmp_path / "cut.toml").write_bytes(data[: int(share * len(data)) + (1 if share else 0)])
    done = polewright("check", "cut.toml")
    assert done.returncode == 2
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    assert "cut.toml" in done.stderr


def test_absent_file_folder_and_wrong_words_exit_with_2(polewright, tmp_path):
    for words in (
        ("check", "absent.toml"),
        ("check", "."),
        ("check",),
        ("frobnicate",),
        ("kit", "x.toml"),
        ("schema", "nonsense"),
        ("bench", "record", "a", "b"),
    ):
        done = polewright(*words)
        assert done.returncode == 2, words
        assert "Traceback" not in done.stderr


def test_out_folder_that_is_a_file_is_refused(polewright, reedlight, tmp_path):
    (tmp_path / "kit").write_text("in the way", encoding="utf-8")
    done = polewright("kit", reedlight, "--out", "kit")
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert (tmp_path / "kit").read_text(encoding="utf-8") == "in the way"


@pytest.mark.parametrize("case", ["section too fat", "unknown rule"])
def test_a_test_on_a_pole_that_cannot_be_built_keeps_neither(polewright, reedlight, tmp_path, case):
    change, field, value, want = CASES[case]
    (tmp_path / "spoilt.toml").write_text(spoilt(reedlight, change), encoding="utf-8")
    done = polewright(
        "bench",
        "tube",
        "spoilt.toml",
        "--serial",
        "R7-1",
        "--section",
        "1",
        "--span",
        "1.4 m",
        "--reading",
        "500 g=1.2 mm",
        "--reading",
        "2500 g=6.1 mm",
    )
    assert done.returncode == 2
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    assert plain_text(refused_in_file(field, value, want)) in done.stderr
    assert not (tmp_path / "workshop.sqlite").exists()


@pytest.mark.slow
@pytest.mark.parametrize(
    "command", [("check",), ("hold", "--reach", "all"), ("check", "--wall", "1"), ("scatter", "--poles", "64")]
)
def test_brackets_and_colons_in_a_name_are_shown_as_they_are_written(polewright, reedlight, tmp_path, command):
    for name in ("Reed [/] 7", "[bold]Reed[/bold] 7", "Reed :star: 7"):
        (tmp_path / "named.toml").write_text(spoilt(reedlight, put(("name",), name)), encoding="utf-8")
        done = polewright(command[0], "named.toml", *command[1:])
        assert done.returncode == 0, done.stderr
        assert name in done.stdout


SUPPORTS = ("'trestles'", "'clamped'", "'hands'", "'lifted'", "'head on glass'")
STUCK = ("hold", "--support", "head on glass", "--lean", "60", "--slide", "stuck")
BELOW_GLASS_TRANSITION = Message("want.below_wet_glass_transition", material="SM150", most=368.15, use=348.15)
OPTIONS = [
    (("hold", "--lean", "1.5708"), refused("--lean", "'1.5708'", "want.degrees", angle=pi / 2)),
    (("hold", "--support", "Hands"), refused("--support", "'Hands'", "want.one", choices=SUPPORTS)),
    (("hold", "--wind", "7,5"), f"'--wind': {said('cli.no_number', text=repr('7,5'), example='7.5')}"),
    (("hold", "--wind", "nan"), f"'--wind': {said('cli.no_number', text=repr('nan'), example='7.5')}"),
    (("hold", "--wind", "400"), refused("--wind", "400.0", "limit.le", limit=bound("speed", 40.0))),
    (("hold", "--reach", "90 m"), refused("--reach", "90 m", "want.reach_between", least=1.79, most=7.45)),
    (
        ("hold", "--temperature", "190"),
        refused("--temperature", Message("given.temperature", temperature=463.15), BELOW_GLASS_TRANSITION),
    ),
    ((*STUCK, "--push", "0"), refused("--push", "0.0", "want.push_sliding_down", drag=5.698)),
    (("hold", "--push", "5"), refused("--push", bound("force", 5.0), "want.no_push_off_glass")),
    (("hold", "--slide", "up"), refused("--slide", "'up'", "want.no_slide_off_glass")),
    (("check", "--wall", "0"), f"'--wall': {said('cli.no_whole_number_from', text=repr('0'), least='1', example='3')}"),
    (("check", "--wall", "7"), refused_in_file("wall", 7, Message("want.section_from_tip", most=5))),
    (
        ("scatter", "--poles", "many"),
        f"'--poles': {said('cli.no_whole_number_from', text=repr('many'), least='1', example='2048')}",
    ),
    (
        ("scatter", "--seed", "-1"),
        f"'--seed': {said('cli.no_whole_number_from', text=repr('-1'), least='0', example='1')}",
    ),
    (
        ("find", "--seconds", "nan"),
        f"'--seconds': {said('cli.no_number_from', text=repr('nan'), least='0', example='60')}",
    ),
    (("find", "--state", "file"), refused("--state", "file", "want.state_file")),
    (("find", "--out", "folder"), refused("--out", "folder", "want.file_not_folder")),
    (("sheet", "--out", "folder"), refused("--out", "folder", "want.file_not_folder")),
    (("sheet", "--out", "file/under"), refused("--out", "file/under", "want.in_a_folder", standing="file")),
    (("kit", "--out", "file"), refused("--out", "file", "want.folder_not_file")),
    (("kit", "--out", "file/under"), refused("--out", "file/under", "want.in_a_folder", standing="file")),
]


@pytest.mark.slow
@pytest.mark.parametrize(("words", "expected"), OPTIONS, ids=[" ".join(case[0]) for case in OPTIONS])
def test_a_wrong_option_is_reported_with_the_typed_value_and_writes_nothing(
    polewright, reedlight, tmp_path, words, expected
):
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    (tmp_path / "folder").mkdir()
    done = polewright(words[0], reedlight, *words[1:])
    assert (done.returncode, done.stdout) == (2, "")
    assert plain_text(expected) in done.stderr
    assert (tmp_path / "file").read_text(encoding="utf-8") == "in the way"
    assert sorted(p.name for p in tmp_path.iterdir() if "cache" not in p.name) == ["file", "folder"]


@pytest.mark.parametrize(("command", "option"), [("sheet", "--out"), ("find", "--out"), ("find", "--state")])
def test_a_design_is_not_written_over_by_what_is_made_of_it(polewright, reedlight, tmp_path, command, option):
    (tmp_path / "pole.toml").write_bytes(reedlight.read_bytes())
    done = polewright(command, "pole.toml", option, "./pole.toml")
    assert done.returncode == 2
    assert refused(option, "pole.toml", "want.another_file") in done.stderr
    assert (tmp_path / "pole.toml").read_bytes() == reedlight.read_bytes()


def test_what_has_no_end_is_not_read_to_its_end(polewright):
    done = polewright("check", "/dev/zero")
    assert done.returncode == 2
    want = Message("want.at_most_bytes", limit=4_000_000)
    assert plain_text(refused_in_file("file", Message("given.too_long"), want)) in done.stderr


def test_a_serial_with_blanks_is_reported_with_a_message(polewright, reedlight):
    done = polewright(
        "bench",
        "tube",
        reedlight,
        "--serial",
        "No 7",
        "--section",
        "1",
        "--span",
        "1.4 m",
        "--reading",
        "500 g=1.2 mm",
        "--reading",
        "2500 g=6.1 mm",
    )
    assert done.returncode == 2
    assert plain_text(refused("serial", "'No 7'", "want.serial_letters")) in done.stderr
