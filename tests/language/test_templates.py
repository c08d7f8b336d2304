"""Files to fill in: in English to the letter, elsewhere the same data, and every comment by way of the catalogue."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import Any

import pytest
import yaml
from marked import CLOSE, MARKED, OPEN, Marks

from seatplan.files.forms import restraint_form
from seatplan.model.kinds import KINDS
from seatplan.views import say
from seatplan.views.manner import LANGUAGES, speaking
from seatplan.views.say import LOCALE, t
from seatplan.views.template_text import Piece, in_language, pieces
from seatplan.views.text import WIDTH

sys.path.insert(0, str(Path(__file__).parent.parent / "cli"))
from running import seatplan

FILES = {file.stem: file.read_text(encoding="utf-8") for file in (LOCALE.parent / "templates").glob("*.yaml")}
#: the words behind `seatplan new` -> what is printed in English
ASKED = {("vehicle",): FILES["vehicle"], ("restraint",): FILES["restraint"], ("trip",): FILES["trip"],
         ("vehicle", "--short"): FILES["short-vehicle"], ("trip", "--short"): FILES["short-trip"],
         **{("restraint", "--kind", kind): restraint_form(kind) for kind in KINDS}}
TEMPLATES = {" ".join(words): text for words, text in ASKED.items()}
EVERY_KIND = pytest.mark.parametrize("kind", sorted(TEMPLATES))
#: what stands for a value by itself, the same in every language
EXAMPLE = re.compile(r"[\d.]+(-[\d.]+)?( kg| cm)?|\d+y|\d[LCR]|\d{4}-\d\d-\d\d")
OTHERS = pytest.mark.parametrize("lang", [lang for lang in LANGUAGES if lang != "en"])


def printed(kind: str, lang: str) -> str:
    said = seatplan("new", *kind.split(), "--lang", lang)
    assert (said.err, said.code) == ("", 0)
    return said.out


def comments(text: str) -> list[str]:
    """The comment of each line, ``#`` and all: what is left of it behind the last token that YAML finds there."""
    ends: dict[int, int] = {}
    for token in yaml.scan(text):
        mark = token.end_mark
        ends[mark.line] = max(ends.get(mark.line, 0), mark.column)
    return [line[ends.get(n, 0):].strip() for n, line in enumerate(text.splitlines())]


def waits(text: str) -> bool:
    """Whether this is YAML to be taken into use, a list or a key with one; a sentence with a colon is not."""
    data: Any = yaml.safe_load(text)
    return isinstance(data, list) or (
        isinstance(data, dict) and all(isinstance(value, (list, dict)) for value in data.values()))


@EVERY_KIND
def test_english_is_the_file_to_the_letter(kind: str):
    assert seatplan("new", *kind.split()).out == TEMPLATES[kind]
    assert seatplan("new", *kind.split(), "--lang", "en", "--units", "customary").out == TEMPLATES[kind]
    assert [line for piece in pieces(TEMPLATES[kind]) for line in piece.lines] == TEMPLATES[kind].splitlines()


@OTHERS
@EVERY_KIND
def test_data_and_check_are_those_of_english(
        kind: str, lang: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.chdir(tmp_path)
    checked = []
    Path("my-car.yaml").write_text(FILES["short-vehicle"], encoding="utf-8")         # the short trip names it
    for text in (TEMPLATES[kind], printed(kind, lang)):
        Path("mine.yaml").write_text(text, encoding="utf-8")
        checked.append(seatplan("check", "mine.yaml"))
    assert checked[0] == checked[1]
    first, lacking = checked[1].out.split("\n", 1)
    assert re.fullmatch(rf"mine\.yaml: {kind.split()[0]}( \([^)]+\))?, good", first)
    assert (checked[1].err, checked[1].code) == ("", 0)
    assert lacking.startswith("  not given: ")
    assert yaml.safe_load(printed(kind, lang)) == yaml.safe_load(TEMPLATES[kind])


@EVERY_KIND
def test_every_comment_goes_through_the_catalogue(kind: str, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(say, "catalogue", lambda lang: Marks())
    found = "\n".join(comments(printed(kind, "es")))
    marked = [re.sub(r"[\s#]+", " ", text.strip(OPEN + CLOSE)) for text in MARKED.findall(found)]
    assert len(marked) >= 8
    assert marked == [" ".join(piece.words.split()) for piece in pieces(TEMPLATES[kind]) if piece.words]
    outside = [line.strip("# ") for line in MARKED.sub("", found).splitlines()]
    assert [line for line in outside if line and not waits(line) and not EXAMPLE.fullmatch(line)] == []


@OTHERS
@EVERY_KIND
def test_comments_are_translated_and_fit_the_page(kind: str, lang: str):
    text = printed(kind, lang)
    english = [piece.words for piece in pieces(TEMPLATES[kind]) if piece.words]
    with speaking(lang):
        here = [t(words) for words in english]
    assert set(here) & set(english) == set()
    assert [piece.words for piece in pieces(text) if piece.words] == here, "wrapped text reads as the same comments"
    assert [line for line, comment in zip(text.splitlines(), comments(text), strict=True)
            if comment and len(line) > WIDTH] == []


@OTHERS
@EVERY_KIND
def test_words_of_the_file_stay_in_its_comments(kind: str, lang: str):
    for piece in pieces(TEMPLATES[kind]):
        with speaking(lang):
            here = t(piece.words)
        assert [word for word in file_words(piece) if word not in here] == [], here


def file_words(piece: Piece) -> set[str]:
    """Keys that a comment explains, what stands in backquotes, and the value of the line where the comment names it."""
    value = re.search(r": ([a-z][\w-]*) +#", piece.lead)
    named = re.findall(rf"\b{value[1]}\b", piece.words) if value else []
    keys = re.findall(r"(?:^|; )((?:[a-z_]+, )*[a-z_]+:)", piece.words)
    return {*named, *keys, *re.findall(r"`[^`]+`", piece.words)}


def test_words_of_the_file_are_seen():
    assert file_words(Piece((), "seat: fixed   # ", "fixed or fold-down")) == {"fixed"}
    assert file_words(Piece((), "# ", "left, right: both ends; up: `a: 1`, at once: here")) == {
        "left, right:", "up:", "`a: 1`"}


@pytest.mark.parametrize(("text", "lead", "words"), [
    ("a: 1   # one", "a: 1   # ", "one"),
    ("a: '# two'  # it''s", "a: '# two'  # ", "it''s"),
    ('a: {b: "# \\" # two"}  # three', 'a: {b: "# \\" # two"}  # ', "three"),
    ("as: Wren's seat  # Wren's", "as: Wren's seat  # ", "Wren's"),
    ("a: b#c", "a: b#c", ""),
    ("  # a # b", "  # ", "a # b"),
    ("  #   a   b", "  #   ", "a   b"),
    ("#", "#", ""),
    ("# a: [1, 2]", "# a: [1, 2]", ""),
    ("# a: [1, 2]  # one", "# a: [1, 2]  # ", "one"),
    ("# - {a: '# two'}  # one", "# - {a: '# two'}  # ", "one"),
    ("# a: [b, c] and more", "# ", "a: [b, c] and more"),
    ("# a: of [b, c]", "# ", "a: of [b, c]"),
])
def test_comment_of_a_line(text: str, lead: str, words: str):
    assert list(pieces(text)) == [Piece((text,), lead, words)]


@pytest.mark.parametrize(("lines", "words"), [
    (["# a", "# b", "#", "# c"], ["a b", "", "c"]),
    (["# a", "  # b"], ["a", "b"]),
    (["#   a", "#   b", "# c"], ["a", "b", "c"]),
    (["a: 1  # b", "# c"], ["b", "c"]),
    (["a: 1  # b", "                                # c", "d: 2"], ["b c", ""]),
    (["a: 1", "                                # c"], ["", "c"]),
    (["a: 1  # b", "", "                                # c"], ["b", "", "c"]),
    (["# a: [1]  # b", "# c", "# d: [2]"], ["b", "c", ""]),
])
def test_lines_of_one_comment(lines: list[str], words: list[str]):
    assert [piece.words for piece in pieces("\n".join(lines))] == words


def test_a_long_translation_goes_on_below_its_first_words(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr("seatplan.views.template_text.t", lambda text: "palabra " * 12 + "fin")
    code = "  a: '# 1'                           "
    with speaking("es"):
        text = in_language(f"{code}# b\n  # c\n#   d\n")
    assert text.splitlines() == [
        f"{code}# palabra palabra palabra palabra palabra palabra palabra",
        f"{' ' * len(code)}# palabra palabra palabra palabra palabra fin",
        f"  # {' '.join(['palabra'] * 12)}",
        "  # fin",
        f"#   {' '.join(['palabra'] * 12)} fin",
    ]
