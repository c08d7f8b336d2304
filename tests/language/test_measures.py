"""Lengths and masses in inches and pounds: exact, and never rounded in anybody's favour."""

from __future__ import annotations

import re
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seatplan import units
from seatplan.message import Amount, beside, joined, said
from seatplan.views import say
from seatplan.views.manner import day, month, number, speaking
from seatplan.views.measures import inches, pounds
from seatplan.views.room_text import _least
from seatplan.views.text import length, listed, mm, quantity, spare

MM = st.integers(0, 6000)


def exact_mm(told: str) -> Fraction:
    """What ``17 1/4 in`` or ``0.98 in`` says, in mm."""
    return sum((Fraction(part) for part in told.removesuffix(" in").split()), Fraction(0)) * units.MM_PER_INCH


@given(MM)
def test_needs_are_rounded_up_and_room_down_by_less_than_an_eighth(value: int):
    assert 0 <= exact_mm(inches(value, "up")) - value < units.MM_PER_INCH / 8
    assert 0 <= value - exact_mm(inches(value, "down")) < units.MM_PER_INCH / 8
    assert abs(exact_mm(inches(value)) - value) <= units.MM_PER_INCH / 16


@given(st.integers(0, 2000))
def test_eighths_come_back_as_they_were(eighths: int):
    told = inches(float(Fraction(eighths, 8) * units.MM_PER_INCH))
    assert exact_mm(told) == Fraction(eighths, 8) * units.MM_PER_INCH


@pytest.mark.parametrize(("kg", "way", "told"), [
    (18.14, "near", "40"), (10, "up", "22.1"), (10, "down", "22"), (0.01, "up", "0.1")])
def test_pounds(kg: float, way: str, told: str):
    assert pounds(kg, way) == told


def test_spanish_numbers_and_days():
    with speaking("es"):
        assert number(12.5) == "12,5"
        assert number(1440) == "1440"
        assert number(455625) == "455\u00a0625"
        assert day(date(2026, 11, 30)) == "30/11/2026"
        assert month(date(2026, 11, 30)) == "11/2026"
    assert number(455625) == "455,625"
    assert day(date(2026, 11, 30)) == "2026-11-30"
    assert month(date(2026, 11, 30)) == "2026-11"


def test_customary_sums_and_spare():
    with speaking("en", "customary"):
        assert mm(438) == "17 1/4 in"
        assert mm(10, "up") == "1/2 in"
        assert spare(10) == "3/8 in"
        assert length(438) == "17.24", "in sums to a hundredth, so that they come out"
        assert say.tr(said("{n} wide", n=Amount(438, "mm"))) == "17 1/4 in wide"


def test_what_was_said_further_down_is_translated_where_it_is_shown():
    told = said("age of {rider}", rider="Close")
    assert told == "age of Close"
    with speaking("es"):
        assert say.tr(told) == "edad de Close"
        assert say.tr("close") == "close", "a name is never looked up"
        assert say.tr(joined(" or ", ["2L", "2R"])) == "2L o 2R"


def test_languages_and_units_end_with_their_block():
    with speaking("es", "customary"):
        assert re.search("in$", mm(25.4))
    assert mm(25) == "25 mm"


@pytest.mark.parametrize(("names", "told"), [
    (["Wren", "Ines"], "Wren e Ines"), (["Wren", "Hilda"], "Wren e Hilda"), (["Oslo", "Hierro"], "Oslo y Hierro"),
    (["Ines", "Wren"], "Ines y Wren"), (["a", "b", "iris"], "a, b e iris")])
def test_spanish_and_before_the_sound_of_an_i(names: list[str], told: str):
    with speaking("es"):
        assert listed(names) == told
        assert say.tr(joined(" and ", names[-2:])) == told.rpartition(", ")[2]


def test_spanish_or_before_the_sound_of_an_o():
    with speaking("es"):
        assert listed(["Anselm", "Oslo"], "or") == "Anselm u Oslo"
        assert listed(["2L", "2R"], "or") == "2L o 2R"
    assert listed(["Wren", "Ines"]) == "Wren and Ines"


def test_a_limit_that_stands_alone_is_told_to_a_hundredth():
    with speaking("en", "customary"):
        assert say.t("takes up to {limit}", limit=Amount(15.9, "kg", "down", fine=True)) == "takes up to 35.05 lb"
        assert quantity(2350, "mm", fine=True) == "92.52 in"


@pytest.mark.parametrize(("gap", "asked", "told"), [
    (25, 25, ("0.99 in", "0.99 in")), (24, 25, ("7/8 in", "1 in")), (60, 25, ("2 1/4 in", "1 in"))])
def test_a_gap_looks_smaller_than_what_is_asked_only_where_it_is(gap: int, asked: int, told: tuple[str, str]):
    with speaking("en", "customary"):
        shown = beside(Amount(gap, "mm", "down"), Amount(asked, "mm", "up"))
        assert tuple(say.t("{value}", value=one) for one in shown) == told


def test_unlike_numbers_beside_each_other_look_unlike():
    measured, limit = beside(Amount(26, "mm"), Amount(25, "mm"))
    with speaking("en", "customary"):
        assert say.t("moved {measured}, allowed {limit}", measured=measured, limit=limit) == (
            "moved 1.02 in, allowed 0.98 in")
    close, most = beside(Amount(Fraction("18.1437"), "kg"), Amount(Fraction("18.1436"), "kg"))
    assert say.t("{close}, {most}", close=close, most=most) == "18.1437 kg, 18.1436 kg"


def test_the_unit_of_two_stands_behind_the_last():
    told = said("expected {low:bare} to {high}{meant}", meant="", low=Amount(300, "mm", "up"),
                high=Amount(1440, "mm", "down"))
    assert told == "expected 300 to 1440 mm", "as files have it"
    with speaking("en", "customary"):
        assert say.tr(told) == "expected 11 7/8 to 56 5/8 in"
    with speaking("es"):
        assert say.tr(told) == "se esperaba de 300 a 1440 mm"


def test_room_is_never_rounded_up():
    with speaking("en", "customary"):
        assert _least(406, 900) == "15 7/8 in"
        assert _least(900, 900) == "35 3/8 in or more"
