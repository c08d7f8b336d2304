"""Profiles: bundled numbers with their sources, and local files that may only tighten them."""

from __future__ import annotations

from pathlib import Path

import pytest

from seatplan.files.errors import InputError
from seatplan.rules.load import BUNDLED, bundled_profile, load_profile
from seatplan.rules.profile import Profile
from seatplan.units import Number, Quantity


def local(tmp_path: Path, text: str) -> Profile:
    file = tmp_path / "county.yaml"
    file.write_text(text, encoding="utf-8")
    return load_profile(str(file))


def problems(tmp_path: Path, text: str) -> list[tuple[int, str]]:
    with pytest.raises(InputError) as caught:
        local(tmp_path, text)
    return [(problem.line, problem.text) for problem in caught.value.problems]


@pytest.mark.parametrize("name", BUNDLED)
def test_bundled_thresholds_have_unit_direction_and_source(name: str):
    profile = bundled_profile(name)
    assert (profile.name, profile.base, profile.must) == (name, name, frozenset())
    for key, threshold in profile.thresholds.items():
        assert threshold.name == key
        assert threshold.unit in ("mm", "kg", "months", "%")
        assert threshold.stricter in ("lower", "higher")
        assert threshold.value >= 0
        assert len(threshold.source) > 10


@pytest.mark.parametrize(("name", "threshold", "value"), [
    ("us", "lower_anchor_combined_mass", Quantity("65 lb")),     # 65 lb, 49 CFR 571.213 S5.5.2(l)(3)(i)(A)
    ("us", "lower_anchor_rear_combined_mass", Quantity("60 lb")),  # 60 lb, 49 CFR 571.213 S5.5.2(l)(3)(i)(C)
    ("un", "lower_anchor_combined_mass", 33),         # UN R129 (02 series) 6.3.2.3
    ("us", "adjacent_midpoints", 400),                # 49 CFR 571.225 S6.3.4.3
    ("un", "adjacent_midpoints", 440),                # UN R16 (07 series) 8.3.6
    ("un", "belt_spare_on_spool", 150),               # UN R129 6.1.3.5, UN R44 6.1.9
    ("un", "belt_play", 25),                          # UN R16 Annex 17 App. 5
    ("us", "front_seat_min_age", 156),                # AAP 2018: younger than 13
])
def test_numbers_of_the_regulations(name: str, threshold: str, value: Number):
    assert bundled_profile(name).limit(threshold) == value


def test_unknown_threshold_is_a_key_error():
    with pytest.raises(KeyError):
        bundled_profile("us").limit("no_such_threshold")


def test_a_local_file_tightens(tmp_path: Path):
    profile = local(tmp_path, """
profile: my county
extends: us
thresholds:
  movement_at_belt_path: 20
  adjacent_midpoints: {value: 17 in, source: county order 7}
must: [tether-unused]
""")
    assert (profile.name, profile.base) == ("my county", "us")
    assert profile.must == {"tether-unused"}
    assert profile.limit("movement_at_belt_path") == 20
    assert profile.limit("adjacent_midpoints") == 432             # 17 in = 431.8 mm
    assert profile.thresholds["adjacent_midpoints"].source == "county order 7"
    assert profile.thresholds["movement_at_belt_path"].source.endswith("county.yaml")
    assert profile.limit("belt_play") == bundled_profile("us").limit("belt_play")


@pytest.mark.parametrize("value", ["25", "25.0", "25 mm"])
def test_the_same_value_is_no_loosening(tmp_path: Path, value: str):
    text = f"profile: same\nextends: us\nthresholds:\n  movement_at_belt_path: {value}\n"
    assert local(tmp_path, text).limit("movement_at_belt_path") == 25


@pytest.mark.parametrize(("line", "said"), [
    ("movement_at_belt_path: 26", "movement_at_belt_path is 26 mm, looser than 25 mm of us; "
                                  "a local file may only make it lower"),
    ("front_seat_min_age: 12y", "front_seat_min_age is 144 months, looser than 156 months of us; "
                                "a local file may only make it higher"),
])
def test_loosening_is_refused_with_found_and_allowed(tmp_path: Path, line: str, said: str):
    assert problems(tmp_path, f"profile: loose\nextends: us\nthresholds:\n  {line}\n") == [(4, said)]


# Directive 91/671/EEC Art. 2(1)(a)(ii): a state may let children of 135 cm or more use the adult belt
@pytest.mark.parametrize(("value", "limit"), [("135 cm", 1350), ("1350", 1350), ("1400", 1400), ("1500", 1500)])
def test_the_law_of_a_state_stands_in_for_the_directive(tmp_path: Path, value: str, limit: int):
    profile = local(tmp_path, f"profile: here\nextends: un\nlaw: {{adult_belt_min_height: {value}}}\n")
    assert profile.limit("adult_belt_min_height") == limit
    assert profile.limit("lap_belt_min_height") == bundled_profile("un").limit("lap_belt_min_height")
    assert profile.content != bundled_profile("un").content


@pytest.mark.parametrize(("base", "law", "said"), [
    ("un", "adult_belt_min_height: 1349", "adult_belt_min_height is 1349 mm, looser than 1350 mm, which is as far as a "
                                          "state may go (Directive 91/671/EEC Art. 2(1)(a)(ii))"),
    ("un", "un_booster_min_height: 950", '"un_booster_min_height" is nothing that the law of a state may choose under '
                                         "un; expected adult_belt_min_height"),
    ("us", "adult_belt_min_height: 135 cm", '"adult_belt_min_height" is nothing that the law of a state may choose '
                                            "under us; expected `thresholds`, which only tighten"),
])
def test_the_law_loosens_nothing_else(tmp_path: Path, base: str, law: str, said: str):
    assert problems(tmp_path, f"profile: loose\nextends: {base}\nlaw:\n  {law}\n") == [(4, said)]


def test_the_law_is_said_once_and_as_lines(tmp_path: Path):
    head = "profile: p\nextends: un\n"
    assert problems(tmp_path, head + "law: 135\n") == [(3, "law is no `name: value` lines")]
    twice = "thresholds: {adult_belt_min_height: 1600}\nlaw:\n  adult_belt_min_height: 1400\n"
    assert problems(tmp_path, head + twice) == [
        (5, "adult_belt_min_height stands under `thresholds` too; expected it once")]


def test_everything_wrong_is_said_at_once(tmp_path: Path):
    found = problems(tmp_path, """profile: us
extends: us
treshold: {}
thresholds:
  belt_pley: 20
  belt_play: far
must: [tether-unsued]
""")
    assert [line for line, _ in found] == [1, 3, 5, 6, 7]
    texts = [text for _, text in found]
    assert texts[1] == 'unknown key "treshold"; did you mean "thresholds"?'
    assert texts[2] == 'unknown threshold "belt_pley"; did you mean "belt_play"?'
    assert texts[3].startswith('belt_play is "far"; expected mm, cm')
    assert texts[4] == 'no rule is called "tether-unsued"; did you mean "tether-unused"?'


@pytest.mark.parametrize("value", [".nan", "[20]", "true", "-5", "{source: county order}", "5 kg"])
def test_what_is_no_number_is_refused(tmp_path: Path, value: str):
    found = problems(tmp_path, f"profile: odd\nextends: us\nthresholds:\n  belt_play: {value}\n")
    assert [line for line, _ in found] == [4]


def test_must_of_a_bundled_must_rule_changes_nothing_but_is_allowed(tmp_path: Path):
    assert local(tmp_path, "profile: p\nextends: un\nmust: [no-belt]\n").must == {"no-belt"}


@pytest.mark.parametrize("text", [
    "extends: us\n", "profile: p\n", "profile: p\nextends: mars\n", "profile: un\nextends: un\n",
])
def test_name_and_base_are_needed(tmp_path: Path, text: str):
    assert problems(tmp_path, text)


@pytest.mark.parametrize("ref", ["usa", "nowhere/county.yaml"])
def test_unknown_profiles(ref: str):
    with pytest.raises(InputError) as caught:
        load_profile(ref)
    assert [(problem.path, problem.line, problem.column) for problem in caught.value.problems] == [(ref, 0, 0)]


def test_bundled_profiles_are_read_once():
    for name in BUNDLED:
        bundled_profile(name)
    assert all(bundled_profile(name) is bundled_profile(name) for name in BUNDLED)
    first = bundled_profile(BUNDLED[0])
    bundled_profile(BUNDLED[1])
    assert bundled_profile(BUNDLED[0]) is first


def test_places_point_at_the_key_or_at_the_value(tmp_path: Path):
    """An unknown key is shown itself; a value that will not do is shown behind its key."""
    with pytest.raises(InputError) as caught:
        local(tmp_path, """profile: 3
extends: us
treshold: {}
thresholds:
  belt_pley: 20
  belt_play: {value: 999, sourse: county}
  movement_at_belt_path: 30
must: [3, no-belt]
""")
    assert [(problem.line, problem.column, problem.text.split()[0]) for problem in caught.value.problems] == [
        (1, 10, "profile"), (3, 1, "unknown"), (5, 3, "unknown"), (6, 14, "belt_play"), (6, 27, "unknown"),
        (7, 26, "movement_at_belt_path"), (8, 8, "no")]


@pytest.mark.parametrize(("value", "said"), [
    ("-1", "belt_play is -1; expected 0 mm or more"), ("1.0e+999", "belt_play is inf; expected 0 mm or more"),
    ("0.5", ""), ("0", "")])
def test_numbers_from_nothing_upwards(tmp_path: Path, value: str, said: str):
    text = f"profile: p\nextends: us\nthresholds:\n  belt_play: {value}\n"
    if said:
        assert problems(tmp_path, text) == [(4, said)]
    else:
        assert local(tmp_path, text).limit("belt_play") == float(value)
