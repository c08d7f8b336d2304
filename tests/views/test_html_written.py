"""HTML is written letter for letter as the standard library writes it, whatever stands in it."""

from __future__ import annotations

from xml.etree.ElementTree import Comment, Element, tostring

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seatplan.app.arrange import Arrange, answered
from seatplan.views.beside import beside
from seatplan.views.markup import el, html_piece, plain

TEXTS = st.text(st.sampled_from("ab &<>\"'\n\u00e9\u2028\U0001f9d2;#"), max_size=6)
TAGS = st.sampled_from(["p", "div", "br", "input", "img", "script", "style", "svg", "path", "col", "link", "title"])


@st.composite
def _trees(draw: st.DrawFn, depth: int = 3) -> Element:
    made = Element(draw(TAGS), draw(st.dictionaries(st.sampled_from(["id", "class", "data-x"]), TEXTS)))
    made.text, made.tail = draw(st.none() | TEXTS), draw(st.none() | TEXTS)
    for _ in range(draw(st.integers(0, 3)) if depth else 0):
        made.append(draw(_trees(depth - 1)) if draw(st.booleans()) else Comment(draw(TEXTS)))
    return made


@settings(max_examples=200)
@given(_trees())
def test_any_tree(tree: Element) -> None:
    assert html_piece(tree) == tostring(tree, encoding="unicode", method="html")


def test_an_answer_with_its_drawings() -> None:
    plan = answered(Arrange(trip="three-across-school-run")).answer
    page = el("section", beside(plan, "answer"), "\x00<", el("script", "a < b && c"), title="a \"b\" & <c>")
    assert len(page) > 3
    assert html_piece(page) == tostring(page, encoding="unicode", method="html")


@pytest.mark.parametrize(("value", "told"), [
    (0, "0"), (12, "12"), (12.0, "12"), (12.04, "12"), (12.06, "12.1"), (-0.04, "0"), (-0.06, "-0.1"), (0.25, "0.2"),
    (0.35, "0.3"), (99.95, "100"), (-99.96, "-100"), (1e7 + 0.5, "10000000.5")])
def test_a_coordinate_has_a_decimal_at_most_and_none_where_it_is_whole(value: float, told: str) -> None:
    assert plain(value) == told
