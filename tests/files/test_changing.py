"""One value is set in a text, and every other character stays."""

from __future__ import annotations

import pytest

from seatplan.files.changing import as_typed, with_value_at
from seatplan.files.library import find, names
from seatplan.files.reading import parse
from seatplan.files.yaml_text import CannotPlace

TEXT = """\
# a car
a:
o:             # in its column
b: # to be measured
c:
  - [1, 2]   # low
  - [3, 4]
d:
  e: 1   # one
  f: {g: 2, h: 3}
l:
- k: x
  m: y
# the end
"""
#: path, value, before, the lines that change: as they were and as they are
CASES = [
    (("a",), "5", None, [("a:", "a: 5")]),
    (("o",), "5 mm", None, [("o:             # in its column", "o: 5 mm        # in its column")]),
    (("b",), "5 mm", None, [("b: # to be measured", "b: 5 mm # to be measured")]),
    (("b", "q"), "7", None, [("b: # to be measured", "b: {q: 7} # to be measured")]),
    (("c",), "[2, 3]", 1, [(None, "  - [2, 3]")]),
    (("c", 1, 1), "9", None, [("  - [3, 4]", "  - [3, 9]")]),
    (("c", 2), "[5, 6]", None, [(None, "  - [5, 6]")]),
    (("d", "e"), "2", None, [("  e: 1   # one", "  e: 2   # one")]),
    (("d", "f", "i"), "x, y", None, [("  f: {g: 2, h: 3}", '  f: {g: 2, h: 3, i: "x, y"}')]),
    (("d", "f", "g"), "#1", None, [("  f: {g: 2, h: 3}", '  f: {g: "#1", h: 3}')]),
    (("l", 0, "n"), "no", None, [(None, "  n: no")]),
    (("l", 0, "m"), "z", None, [("  m: y", "  m: z")]),
    (("z", "q"), "[1, 2]", None, [(None, "z: {q: [1, 2]}")]),
]


@pytest.mark.parametrize("line_break", ["\n", "\r\n"])
@pytest.mark.parametrize(("path", "value", "before", "changes"), CASES, ids=[str(case[0]) for case in CASES])
def test_only_its_lines_change(path, value, before, changes, line_break: str) -> None:
    text = TEXT.replace("\n", line_break)
    changed = with_value_at(text, path, as_typed(value)[0], before).split(line_break)
    old = text.split(line_break)
    gone = [line for line in old if line not in changed]
    new = [line for line in changed if line not in old]
    assert gone == [was for was, _ in changes if was is not None]
    assert new == [now for _, now in changes]
    assert [line for line in changed if line in old] == [line for line in old if line in changed]


def test_a_word_that_more_is_said_of_becomes_a_copy() -> None:
    text = "restraints:\n  - nook-35      # mine\n"
    assert with_value_at(text, ("restraints", 0, "made"), "2024-01-02") == (
        "restraints:\n  - {use: nook-35, made: 2024-01-02}      # mine\n")


def test_what_would_take_comments_with_it_is_refused() -> None:
    with pytest.raises(CannotPlace):
        with_value_at(TEXT, ("c",), "[[1, 5]]")


@pytest.mark.parametrize("value", ["2400", "17 1/4 in", "19 lb 10 oz", "none", "[4 kg, 18 kg]", "{a: 1}", "it's",
                                   "a: b", '"', "#", "*x", "- 1", "yes", "2026-01-02", "{a", "", "\\"])
def test_a_value_reads_as_it_is_written(value: str) -> None:
    written, typed = as_typed(value)
    assert parse(f"{{v: {written}, w: 0}}", "").data == {"v": typed, "w": 0}


@pytest.mark.parametrize("name", names("vehicle"))
def test_every_value_of_a_bundled_vehicle_can_be_set(name: str) -> None:
    text = find("vehicle", name).read_text(encoding="utf-8")
    data = parse(text, "").data
    for path in [*_values(data)][::7]:
        changed = with_value_at(text, path, "17")
        assert len(changed.splitlines()) == len(text.splitlines())


def _values(data, at=()):
    for key, inner in data.items() if isinstance(data, dict) else enumerate(data):
        if isinstance(inner, (dict, list)):
            yield from _values(inner, (*at, key))
        elif not isinstance(inner, str) or "\n" not in inner:
            yield (*at, key)
