"""Numbers, lists, wrapped lines and tables as people read them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from seatplan.views.text import (
    WIDTH,
    beginning,
    columns,
    count,
    cut,
    letters,
    listed,
    mm,
    number,
    padded,
    spare,
    table,
    wrapped,
)


@pytest.mark.parametrize(("value", "text"), [
    (12.0, "12"), (0.10, "0.1"), (1234567, "1,234,567"), (-5, "-5"), (22.046, "22.05"), (1500.5, "1,500.5"),
])
def test_number(value: float, text: str):
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


def test_columns_of_wide_letters_and_of_marks():
    assert [columns(text) for text in ("abc", "\u5f20\u4f1f", "e\u0301", "\U0001f9d2", "")] == [3, 4, 1, 2, 0]
    assert beginning("\u5f20\u4f1f\u738b", 5) == "\u5f20\u4f1f"
    assert beginning("xe\u0301y", 2) == "xe\u0301"
    assert padded("\u5f20", 4) == "\u5f20  "
    assert cut("\u5f20\u4f1f\u738b", 5) == "\u5f20.."
    assert letters("a\u5f20e\u0301") == ["a", "\u5f20", "", "e\u0301"]
    assert letters("\u5f20\u0301b") == ["\u5f20\u0301", "", "b"]


def test_two_names_of_sixty_letters_share_the_page():
    one, other = "Rider" + "x" * 55, "Restraint" + "y" * 51
    lines = table(["rider", "seat", "in", "held by", "middle"],
                  [[one, "2L", f"{other}, rear-facing harness", "lower anchors a and b, with tether", "1,125 mm"]],
                  "   ").splitlines()
    assert max(map(len, lines)) <= WIDTH
    assert "2L" in lines[1]
    assert "".join(line[3:].split("  ")[0].strip() for line in lines[1:]) == one


def test_a_narrow_column_stays_whole_beside_wide_ones():
    lines = table(["a", "b", "c"], [["word " * 30, "1,234", "other " * 30]]).splitlines()
    assert any("  1,234  " in line for line in lines)
    assert max(map(len, lines)) <= WIDTH


def test_a_long_word_is_broken_and_not_lost():
    text = "in " + "x" * 230 + " beside"
    lines = wrapped(text, "   ", "      ").splitlines()
    assert max(map(len, lines)) <= WIDTH
    assert "".join("".join(lines).split()) == text.replace(" ", "")


_LETTERS = st.sampled_from("abcdefghij-,.1\u5f20\u4f1f\u00df\u0639e\u0301\u0308\U0001f9d2 ")
_CELL = st.one_of(st.text(_LETTERS, max_size=90), st.text(st.sampled_from("ab \u5f20"), min_size=40, max_size=90))


@given(st.integers(1, 9).flatmap(lambda n: st.lists(st.lists(_CELL, min_size=n, max_size=n), min_size=1, max_size=4)),
       st.sampled_from(["", "   ", "         "]))
def test_no_table_is_wider_than_the_page_and_none_loses_a_letter(rows: list[list[str]], indent: str):
    """Whatever the cells hold; the letters of a row, in order of its columns, are found again."""
    told = table([""] * len(rows[0]), rows, indent)
    assert max(map(columns, told.splitlines()), default=0) <= WIDTH
    wanted = sorted(letter for row in rows for cell in row for letter in cell if not letter.isspace())
    assert sorted(letter for letter in told if not letter.isspace()) == wanted


@given(st.text(_LETTERS, max_size=400), st.sampled_from(["", "   - "]))
def test_no_paragraph_is_wider_than_the_page_and_none_loses_a_letter(text: str, first: str):
    told = wrapped(text, first, "     ")
    assert max(map(columns, told.splitlines()), default=0) <= WIDTH
    assert "".join(told.removeprefix(first).split()) == "".join(text.split())
