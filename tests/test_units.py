"""Quantities as people write them. Factors are exact: international yard and pound agreement, 1959."""

import copy
import pickle
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seatplan import units


@pytest.mark.parametrize(
    ("written", "mm"),
    [
        (438, 438),
        (438.4, 438),
        (438.6, 439),
        ("438 mm", 438),
        ("43.8 cm", 438),
        ("43.8cm", 438),
        ("1.05 m", 1050),
        ("1 in", 25),
        ("10 in", 254),
        ('10"', 254),
        ("10 inches", 254),
        ("17 1/4 in", 438),
        ("17-1/4 in", 438),
        ("1/8 in", 3),
        ("17.25 in", 438),
        ("5 ft 3 in", 1600),
        ("5'3\"", 1600),
        ("5 feet, 3 inches", 1600),
        ("5′3″", 1600),
        ("5 ft 3 1/2 in", 1613),
        ("1 m 5 cm", 1050),
        ("-10 mm", -10),
        ("−1 in", -25),
        ("+3 cm", 30),
        (" 3 CM ", 30),
        ("0 mm", 0),
        (0, 0),
        (-260, -260),
    ],
)
def test_length(written: object, mm: int) -> None:
    assert units.length_mm(written) == mm


@pytest.mark.parametrize(
    ("written", "kg"),
    [
        ("8.9 kg", "8.9"),
        ("8900 g", "8.9"),
        ("15.904 kg", "15.904"),
        ("40 lb", "18.1436948"),
        ("40 lbs", "18.1436948"),
        ("65 pounds", "29.48350405"),
        ("19 lb 10 oz", "8.90175026125"),
        ("19 lb and 10 oz", "8.90175026125"),
        ("16 oz", "0.45359237"),
        ("19.6 lb", "8.890410452"),
        (0, "0"),
    ],
)
def test_mass_is_exact_and_keeps_what_was_written(written: object, kg: str) -> None:
    read = units.mass(written)
    assert read == Fraction(kg)
    assert read.written == (written if written != 0 else "0 kg")
    assert units.mass(read.written) == read
    assert pickle.loads(pickle.dumps(read)) == copy.deepcopy(read) == read
    assert pickle.loads(pickle.dumps(read)).written == read.written


@pytest.mark.parametrize(("bare", "told"), [
    (35, "35 kg is 77.2 lb; 35 lb is 15.9 kg"),
    ("35", "35 kg is 77.2 lb; 35 lb is 15.9 kg"),
    (8.9, "8.9 kg is 19.6 lb; 8.9 lb is 4 kg"),
    (" 19 1/2 ", "19.5 kg is 43 lb; 19.5 lb is 8.8 kg"),
])
def test_a_mass_without_a_unit_is_refused_with_both_readings(bare: object, told: str) -> None:
    with pytest.raises(units.UnitError, match=told):
        units.mass(bare)


def test_a_limit_in_both_units_counts_by_its_stricter_reading() -> None:
    label = units.mass("18.4 kg (40 lb)")
    assert label.stricter(upper=True) == units.mass("40 lb")
    assert label.stricter(upper=False) == units.mass("18.4 kg")
    assert label.stricter(upper=True).written == "18.4 kg (40 lb)"
    assert units.mass("30 kg (65 lb)").stricter(upper=True) == units.mass("65 lb")
    for written in ("18.4 kg (41.9 lb)", "30 kg (18 kg)", "35 kg (35 lb)", "40 lb (40 lb)"):
        with pytest.raises(units.UnitError):
            units.mass(written)


@pytest.mark.parametrize("written", ["22-65 lb, 10-29.5 kg", "22 to 65 lb (10 to 29.5 kg)", "10–29.5 kg / 22–65 lb"])
def test_a_range_as_labels_print_it(written: str) -> None:
    low, high = units.mass_range(written)
    assert low.stricter(upper=False) == units.mass("10 kg")
    assert high.stricter(upper=True) == units.mass("65 lb")


@pytest.mark.parametrize("written", ["4 to 7 years", "4-7y", "48 to 84 months"])
def test_a_band_of_ages_in_one_unit(written: str) -> None:
    low, high = units.duration_range(written)
    assert (units.duration_months(low), units.duration_months(high)) == (48, 84)


@pytest.mark.parametrize("written", ["4y", "4 to 7", "four to seven years", ["4y", "7y"], 4, None])
def test_what_is_no_band_of_ages_stays_as_it_is(written: object) -> None:
    assert units.duration_range(written) == written


@pytest.mark.parametrize("written", ["22-65", "22-65 lb, 10-25 kg", "22-65 lb, 22-65 lb", "lb", "22 lb", "1-2-3 kg"])
def test_no_range_of_masses(written: str) -> None:
    with pytest.raises(units.UnitError):
        units.mass_range(written)


@given(st.fractions(0, 300, max_denominator=1000))
def test_a_mass_that_was_reckoned_reads_back(kg: Fraction) -> None:
    assert units.mass(str(units.Quantity.of_kg(kg))) == kg


@pytest.mark.parametrize(
    ("written", "degrees"),
    [(14, 14.0), (14.25, 14.2), (14.26, 14.3), ("14 deg", 14.0), ("14°", 14.0), ("-3 degrees", -3.0)],
)
def test_angle(written: object, degrees: float) -> None:
    assert units.angle_deg(written) == degrees


@pytest.mark.parametrize(
    ("written", "months"),
    [
        ("15 months", 15),
        ("1 month", 1),
        ("7y", 84),
        ("7 y", 84),
        ("2 years 3 months", 27),
        ("2 1/2 years", 30),
        ("1.5 y", 18),
        ("6 mo", 6),
        ("1 yr", 12),
        ("11.9 months", 11),
    ],
)
def test_duration(written: object, months: int) -> None:
    """Whole months that have passed: a child of 11.9 months is not 12 months old."""
    assert units.duration_months(written) == months


@pytest.mark.parametrize("read", [units.length_mm, units.mass, units.angle_deg, units.duration_months])
@pytest.mark.parametrize(
    "written",
    [
        None,
        True,
        False,
        "",
        " ",
        "438",
        "about 40 cm",
        "40 stones",
        "cm",
        "40 cm cm",
        "3 in 5 ft",
        "3 in 4 in",
        "1/0 in",
        "1e3 mm",
        "--3 cm",
        "3 cm -",
        [3],
        {},
        float("inf"),
        float("nan"),
        float("-inf"),
        10**400,
        1e300,
        "9" * 60 + " mm",
    ],
)
def test_refused(read: object, written: object) -> None:
    with pytest.raises(units.UnitError):
        read(written)  # type: ignore[operator]


def test_a_plain_number_is_no_duration() -> None:
    with pytest.raises(units.UnitError, match='expected years or months, such as "7y" or "15 months"'):
        units.duration_months(7)


def test_text_says_what_is_allowed() -> None:
    with pytest.raises(units.UnitError) as caught:
        units.mass("89 stones")
    assert str(caught.value) == 'expected kg or lb, such as "8.9 kg", "19.6 lb" or "19 lb 10 oz"'


@pytest.mark.parametrize(
    ("mm", "shown"),
    [
        (438, "17 1/4 in"),
        (25.4, "1 in"),
        (0, "0 in"),
        (3, "1/8 in"),
        (-25.4, "-1 in"),
        (12.7, "1/2 in"),
        (1600, "63 in"),
        (-10, "-3/8 in"),
    ],
)
def test_inches(mm: float, shown: str) -> None:
    assert units.inches(mm) == shown


@given(st.integers(-2000, 6000))
def test_inches_come_back_within_a_sixteenth(mm: int) -> None:
    """Rounded to an eighth of an inch, so not more than a sixteenth off, and half a mm of rounding."""
    assert abs(units.length_mm(units.inches(mm)) - mm) <= 25.4 / 16 + 0.5


@given(st.integers(0, 60), st.integers(0, 7))
def test_eighths(whole: int, eighths: int) -> None:
    assert units.length_mm(f"{whole} {eighths}/8 in") == round((whole * 8 + eighths) * 25.4 / 8)


@given(st.text(max_size=50))
def test_any_text_is_read_or_refused(text: str) -> None:
    for read in (units.length_mm, units.mass, units.angle_deg, units.duration_months):
        try:
            number = read(text)
        except units.UnitError:
            continue
        assert isinstance(number, (int, float, Fraction))


@pytest.mark.parametrize(("written", "told"), [
    ("3.8", "a plain number is whole millimetres"), ("25.4", "a plain number is whole millimetres"),
    ("-1/2", "a plain number is whole millimetres"), ("17 1/4", "a plain number is whole millimetres"),
    ("438", "expected whole millimetres without quotes"), ("3.8 cn", "expected mm, cm, m, in or ft"),
])
def test_a_length_without_its_unit(written: str, told: str) -> None:
    with pytest.raises(units.UnitError) as caught:
        units.length_mm(written)
    assert str(caught.value).startswith(told)


@pytest.mark.parametrize(("written", "mm"), [(38, 38), ("3.8 cm", 38), ("1 1/2 in", 38), ("0.4 in", 10)])
def test_whole_mm(written: object, mm: int) -> None:
    assert units.whole_mm(written) == mm


@pytest.mark.parametrize("written", [3.8, 25.4, 3.0, "3.8", True, None])
def test_not_whole_mm(written: object) -> None:
    with pytest.raises(units.UnitError):
        units.whole_mm(written)
