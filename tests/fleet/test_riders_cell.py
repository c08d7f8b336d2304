"""The cell of riders: what it may say, what it may not, and that nothing of it is told when it is refused."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seatplan.files.riders_cell import GROWN_MONTHS, CellError, RiderTold, adults_in, riders_in


@pytest.mark.parametrize(("cell", "told"), [
    ("14m", [(14, 14, None, None, None)]),
    ("0m", [(0, 0, None, None, None)]),
    ("5y-7y", [(60, 84, None, None, None)]),
    ("5-7y", [(60, 84, None, None, None)]),
    ("6-10 months", [(6, 10, None, None, None)]),
    ("18m to 2y 6m", [(18, 30, None, None, None)]),
    ("5 years 3 months", [(63, 63, None, None, None)]),
    ("8y 24kg 126cm upright", [(96, 96, 24_000, 1260, True)]),
    ("8Y, 24 KG, 1260 mm, Not  Upright", [(96, 96, 24_000, 1260, False)]),
    ("8y24kg126cm", [(96, 96, 24_000, 1260, None)]),
    ("40 lb 3 oz 3 ft 9 in", [(None, None, 18_229, 1143, None)]),
    ("900mm", [(None, None, None, 900, None)]),
    ("14m; 5y-7y; 8y 24kg 126cm upright", [(14, 14, None, None, None), (60, 84, None, None, None),
                                           (96, 96, 24_000, 1260, True)]),
    ("0", []),
])
def test_what_it_says(cell: str, told: list[tuple[int | None, ...]]) -> None:
    assert list(riders_in(cell)) == [
        RiderTold(None if low is None else (low, high), *rest) for low, high, *rest in told]


@pytest.mark.parametrize("cell", [
    "5", "5y 18", "5y 110", "18kg 20kg", "5y 6y", "1.26m", "upright", "5y tall", "5y-", "-5y", "5.5y", "newborn",
    "14mm 5y",     "5y 18kg 110cm upright upright", "٥y", "5y\x00", "=5y", "5y 18 stone", "x" * 300,
])
def test_what_cannot_be_read(cell: str) -> None:
    with pytest.raises(CellError, match="rider 1: expected "):
        riders_in(cell)


@pytest.mark.parametrize(("cell", "says"), [
    ("", "expected the children who ride, or 0 where none does"),
    (" ; ", "expected the children who ride, or 0 where none does"),
    ("4m; 7y-5y", "rider 2: expected the lower age first"),
    ("18y", "rider 1: expected an age below 18 years; grown-ups are counted under `adults`"),
    ("10y-18y", "rider 1: expected an age below 18 years; grown-ups are counted under `adults`"),
    ("8y 300kg", "rider 1: expected a mass of 0.5 to 250 kg"),
    ("8y 5m", None),
    ("8y 12cm", "rider 1: expected a stature of 300 to 2300 mm"),
    (";".join(["5y"] * 20), "more than 19 riders; expected at most that many"),
])
def test_what_cannot_be(cell: str, says: str | None) -> None:
    if says is None:
        assert riders_in(cell)
        return
    with pytest.raises(CellError) as error:
        riders_in(cell)
    assert error.value.args[0] == says


def test_adults_by_number_or_by_size() -> None:
    assert adults_in("0") == ()
    assert adults_in("2") == (RiderTold(), RiderTold())
    assert adults_in("168cm 70kg; 181cm") == (RiderTold(None, 70_000, 1680), RiderTold(None, None, 1810))
    for cell in ("", "-1", "two", "35y", "168", "168cm upright", "5y 168cm", "1.5", "٢"):
        with pytest.raises(CellError, match="expected how many adults ride"):
            adults_in(cell)
    for cell in ("139cm", "150cm 34kg"):
        with pytest.raises(CellError, match="expected adults of at least 1400 mm and 35 kg"):
            adults_in(cell)
    with pytest.raises(CellError, match="more than 19"):
        adults_in("20")


@given(st.integers(0, GROWN_MONTHS - 1), st.integers(0, GROWN_MONTHS - 1), st.none() | st.integers(500, 250_000),
       st.none() | st.integers(300, 2300), st.sampled_from([None, True, False]))
def test_what_is_written_is_read(one: int, other: int, grams: int | None, mm: int | None, upright: bool | None) -> None:
    low, high = sorted((one, other))
    parts = [f"{low}m" if low == high else f"{low // 12}y {low % 12}m-{high // 12}y{high % 12}m"]
    parts += [] if grams is None else [f"{grams / 1000:.3f}kg"]
    parts += [] if mm is None else [f"{mm / 10:.1f} cm"]
    parts += [] if upright is None else ["upright" if upright else "not upright"]
    assert riders_in(" ".join(parts)) == (RiderTold((low, high), grams, mm, upright),)


@settings(max_examples=300)
@given(st.text(alphabet="0123456789ymkgcin. ;-–,upright²٥\t", max_size=40))
def test_any_text_is_read_or_refused_without_what_it_holds(cell: str) -> None:
    try:
        riders_in(cell)
    except CellError as error:
        told = error.args[0]
        assert told.partition(":")[2].strip().startswith("expected") or told.startswith(
            ("more than", "expected the children who ride, or 0 where none does"))
        assert {name: value for name, value in told.fields.items() if name != "n"}.items() <= {
            "low": told.fields.get("low"), "high": told.fields.get("high"), "most": 19}.items()
        assert told.fields.get("low") in (None, 0.5, 300)
        assert told.fields.get("n", 1) in range(1, 20)
