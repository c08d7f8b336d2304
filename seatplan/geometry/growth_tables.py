"""The CDC 2000 growth tables, WHO's medians under 24 months beside them, and the LMS sums on both.

Source: CDC/NCHS 2000 growth charts of the United States, public domain; a few medians of the WHO Child Growth
Standards 2006, cited; see ``data/growth/README.md``. US guidance charts children under 24 months by WHO and older
ones by CDC (MMWR 59 RR-9, 2010): what is reckoned under 24 months holds for either. The LMS method is that of Cole
and Green 1992 (Stat Med 11:1305): a value at z is M (1 + L S z)^(1/L).
"""

from __future__ import annotations

import csv
from bisect import bisect_right
from functools import lru_cache
from math import exp, log
from pathlib import Path
from typing import Literal, NamedTuple

Measure = Literal["mass", "height"]
Sex = Literal["girl", "boy"]
Chart = Literal["cdc", "who"]

MEASURES: tuple[Measure, ...] = ("mass", "height")
SEXES: tuple[Sex, ...] = ("girl", "boy")
#: mean length of a month in days, as growth tables count it
DAYS_A_MONTH = 30.4375
#: where the tables for infants give way to those for children, and where the last table ends, months
INFANT_UNTIL, LAST = 24.0, 240.0

_FOLDER = Path(__file__).resolve().parent.parent / "data" / "growth"
_FILES: dict[tuple[Measure, bool], str] = {
    ("height", True): "cdc2000_length_for_age_0_36m",
    ("height", False): "cdc2000_stature_for_age_24_240m",
    ("mass", True): "cdc2000_weight_for_age_0_36m",
    ("mass", False): "cdc2000_weight_for_age_24_240m",
}
_LETTER: dict[str, Sex] = {"M": "boy", "F": "girl"}
_WHO, _WHO_COLUMN = "who2006_medians", {"mass": "mass_kg", "height": "length_cm"}
#: the tables are in kg and cm; heights here are in mm
_FACTOR: dict[Measure, float] = {"mass": 1.0, "height": 10.0}


class LMS(NamedTuple):
    """Skewness, median and coefficient of variation at one age."""

    l: float  # noqa: E741  # the method's own name
    m: float
    s: float


def value_at(lms: LMS, z: float) -> float:
    """The measurement at a z-score. Raises ValueError where the tables say nothing: so far out no value exists."""
    if lms.l == 0:
        return lms.m * exp(lms.s * z)
    base = 1 + lms.l * lms.s * z
    if base <= 0:
        raise ValueError(f"no value at z {z:g}")
    return float(lms.m * base ** (1 / lms.l))


def z_of(lms: LMS, value: float) -> float:
    """The z-score of a measurement above 0."""
    if lms.l == 0:
        return log(value / lms.m) / lms.s
    return float(((value / lms.m) ** lms.l - 1) / (lms.l * lms.s))


def charts(age_months: float) -> tuple[Chart, ...]:
    """The charts that count at an age: under 24 months CDC's and WHO's, from there on CDC's alone (MMWR 59 RR-9)."""
    return ("cdc", "who") if age_months < INFANT_UNTIL else ("cdc",)


def lms_at(measure: Measure, sex: Sex, age_months: float, *, infant: bool | None = None, chart: Chart = "cdc") -> LMS:
    """L, M and S at an age, straight between rows; M in kg or mm. Beyond the tables their first and last row hold.

    ``infant`` picks the table where two overlap (24 to 36 months): lying length and standing height differ by
    nearly a centimetre. None: lying up to 24 months, standing from there. ``chart``: "who", up to 24 months, lying:
    WHO's median with CDC's L and S about it.
    """
    if chart == "who":
        age = min(age_months, INFANT_UNTIL)
        cdc = lms_at(measure, sex, age, infant=True)
        return cdc._replace(m=cdc.m * _share(measure, sex, age))
    lying = age_months < INFANT_UNTIL if infant is None else infant
    ages, rows = _table(measure, lying)[sex]
    i = bisect_right(ages, age_months)
    if i == 0:
        return rows[0]
    if i == len(ages):
        return rows[-1]
    part = (age_months - ages[i - 1]) / (ages[i] - ages[i - 1])
    below, above = rows[i - 1], rows[i]
    return LMS(below.l + part * (above.l - below.l), below.m + part * (above.m - below.m),
               below.s + part * (above.s - below.s))


def _share(measure: Measure, sex: Sex, age_months: float) -> float:
    """WHO's median as a share of CDC's, straight between the ages that are cited."""
    ages, shares = _who_shares(measure)[sex]
    i = min(max(1, bisect_right(ages, age_months)), len(ages) - 1)
    part = (age_months - ages[i - 1]) / (ages[i] - ages[i - 1])
    return shares[i - 1] + part * (shares[i] - shares[i - 1])


@lru_cache(maxsize=2)
def _who_shares(measure: Measure) -> dict[Sex, tuple[list[float], list[float]]]:
    found: dict[Sex, tuple[list[float], list[float]]] = {sex: ([], []) for sex in SEXES}
    for row in _rows(_WHO):
        sex, age = _LETTER[row["sex"]], float(row["age_months"])
        ages, shares = found[sex]
        ages.append(age)
        median = float(row[_WHO_COLUMN[measure]]) * _FACTOR[measure]
        shares.append(median / lms_at(measure, sex, age, infant=True).m)
    return found


@lru_cache(maxsize=4)
def _table(measure: Measure, infant: bool) -> dict[Sex, tuple[list[float], list[LMS]]]:
    found: dict[Sex, tuple[list[float], list[LMS]]] = {sex: ([], []) for sex in SEXES}
    factor = _FACTOR[measure]
    for row in _rows(_FILES[measure, infant]):
        ages, rows = found[_LETTER[row["sex"]]]
        ages.append(float(row["age_months"]))
        rows.append(LMS(float(row["L"]), float(row["M"]) * factor, float(row["S"])))
    return found


def _rows(name: str) -> list[dict[str, str]]:
    with (_FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))
