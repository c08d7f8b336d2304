"""Numbers, lists, wrapped lines and tables as people read them."""

from __future__ import annotations

import pytest

from seatplan.views.text import WIDTH, count, cut, listed, mm, number, spare, table, wrapped


@pytest.mark.parametrize(("value", "text"), [
    (12.0, "12"), (0.10, "0.1"), (1234567, "1,234,567"), (-5, "-5"), (22.046, "22.05"), ("a word", "a word"),
    (True, "True"), (1500.5, "1,500.5"),
])
def test_number(value: object, text: str):
    assert number(value) == text


def test_lengths_show_halves():
    assert mm(297.5) == "297.5 mm"
    assert mm(1125.0) == "1,125 mm"


def test_spare_is_never_rounded_up():
    assert spare(7.99) == "7 mm"
    assert spare(0.4) == "0 mm"


def test_count_and_list():
    assert count(1, "rider") == "1 rider"
    assert count(2000, "rider") == "2,000 riders"
    assert listed([]) == ""
    assert listed(["2L"]) == "2L"
    assert listed(["2L", "2C", "2R"]) == "2L, 2C and 2R"
    assert listed(["2L", "2R"], "or") == "2L or 2R"


def test_wrapped_lines_keep_to_the_page_and_hang():
    lines = wrapped("word " * 60, "   caution: ", "      ").splitlines()
    assert len(lines) > 1
    assert max(map(len, lines)) <= WIDTH
    assert lines[0].startswith("   caution: word")
    assert all(line.startswith("      word") for line in lines[1:])


def test_wrapping_does_not_break_a_name_at_its_hyphen():
    assert "forward-facing" in wrapped("x" * 90 + " forward-facing").splitlines()


def test_cut_text_ends_in_dots():
    assert cut("Lattice", 7) == "Lattice"
    assert cut("Lattice", 6) == "Latt.."
    assert cut("Lattice", 1) == "."
    assert cut("Lattice", 0) == ""


def test_table_lines_up_and_wraps_its_last_column():
    lines = table(["name", "about"], [["a", "short"], ["longer", "word " * 40]], "  ").splitlines()
    assert lines[0] == "  name    about"
    assert lines[1] == "  a       short"
    assert lines[2].startswith("  longer  word")
    assert lines[3].startswith("          word")
    assert max(map(len, lines)) <= WIDTH
