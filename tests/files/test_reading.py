"""YAML becomes plain data with places, within bounds, or a problem with a place."""

import io
from datetime import date
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
import yaml

from seatplan.files import reading
from seatplan.files.errors import InputError
from seatplan.files.reading import parse, read

LOADERS = [yaml.SafeLoader, *([yaml.CSafeLoader] if hasattr(yaml, "CSafeLoader") else [])]


@pytest.fixture(params=LOADERS, ids=lambda loader: loader.__name__)
def loader(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Either parser: the fast one is not on every machine."""
    monkeypatch.setattr(reading, "YAML_LOADER", request.param)
    return request.param


def problems(text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        parse(text, "f.yaml")
    return [str(problem) for problem in caught.value.problems]


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("1", 1),
        ("-12", -12),
        ("+3", 3),
        ("0", 0),
        ("0123", "0123"),
        ("0x1f", "0x1f"),
        ("0o17", "0o17"),
        ("1_000", "1_000"),
        ("1.5", 1.5),
        (".5", 0.5),
        ("-2.", -2.0),
        ("1.5e3", 1500.0),
        ("2e3", 2000.0),
        ("1:30", "1:30"),
        (".inf", ".inf"),
        (".nan", ".nan"),
        ("true", True),
        ("false", False),
        ("True", True),
        ("yes", "yes"),
        ("no", "no"),
        ("on", "on"),
        ("off", "off"),
        ("null", None),
        ("~", None),
        ("", None),
        ("none", "none"),
        ("2L", "2L"),
        ("7y", "7y"),
        ("43 cm", "43 cm"),
        ("2026-11-25", date(2026, 11, 25)),
        ("2026-1-5", "2026-1-5"),
        ("'12'", "12"),
        ('"true"', "true"),
        ("'2026-11-25'", "2026-11-25"),
        ("9" * 60, "9" * 60),
        ("'it''s'", "it's"),
        ("|\n  two\n  lines", "two\nlines"),
    ],
)
def test_scalars(written: str, value: object, loader: Any) -> None:
    found = parse(f"key: {written}", "f.yaml").data["key"]
    assert found == value
    assert type(found) is type(value)


def test_keys_are_words(loader: Any) -> None:
    data = parse("on: 1\nno: 2\n1: 3\n2L: 4\nnull: 5\n'a b': 6\n", "f.yaml").data
    assert data == {"on": 1, "no": 2, "1": 3, "2L": 4, "null": 5, "a b": 6}


def test_places(loader: Any) -> None:
    document = parse("a: 1\nlist:\n  - x: {y: 2}\n  - z\nempty:\n", "f.yaml")
    assert document.data == {"a": 1, "list": [{"x": {"y": 2}}, "z"], "empty": None}
    assert document.place(()) == (1, 1, 1)
    assert document.place(("a",)) == (1, 4, 1)
    assert document.place(("list", 0)) == (3, 5, 1)
    assert document.place(("list", 0, "x", "y")) == (3, 12, 1)
    assert document.key_place(("list", 0, "x", "y")) == (3, 9, 1)
    assert document.place(("list", 1)) == (4, 5, 1)
    assert document.key_place(("empty",)) == (5, 1, 5)
    assert document.place(("list", 0, "not", "there")) == (3, 5, 1)
    assert document.place(("not there",)) == (1, 1, 1)


def test_aliases_are_written_out(loader: Any) -> None:
    document = parse("a: &x {b: [1, 2]}\nc: *x\n&k d: *k\n", "f.yaml")
    assert document.data == {"a": {"b": [1, 2]}, "c": {"b": [1, 2]}, "d": "d"}
    assert document.place(("c", "b", 1)) == (2, 4, 2)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "f.yaml: this file is empty; expected a YAML file"),
        ("# a comment\n", "f.yaml: this file is empty; expected a YAML file"),
        ("[a, b]", "f.yaml:1:1: not a set of keys; expected `key: value` lines"),
        ("words", "f.yaml:1:1: not a set of keys; expected `key: value` lines"),
        ("---\n", "f.yaml:1:1: not a set of keys; expected `key: value` lines"),
        ("a: 1\nb: 2\na: 3\n", 'f.yaml:3:1: key "a" stands here twice; first in line 1'),
        ("a: {b: 1, b: 2}\n", 'f.yaml:1:11: key "b" stands here twice; first in line 1'),
        ("---\na: 1\n---\nb: 1\n", "f.yaml:3:1: a second document begins here; expected one"),
        (
            "a: 1\n...\nb: 2\n",
            "f.yaml:3:1: more follows after the end of the document; expected one document",
        ),
        (
            "a: !!python/object:os.system 1\n",
            "f.yaml:1:4: tag `!!python/object:os.system` is not read; leave it out",
        ),
        ("a: !mine [1]\n", "f.yaml:1:4: tag `!mine` is not read; leave it out"),
        ("x: &x {a: 1}\n<<: *x\n", "f.yaml:2:1: `<<` is not read here; write the keys out"),
        ("? [a]\n: 1\n", "f.yaml:1:3: this key is a list or a set of keys; expected a word"),
        ("'': 1\n", "f.yaml:1:1: this key is empty; expected a word"),
        ("a: &x [1, *x]\n", "f.yaml:1:11: `*x` contains itself"),
        ("a: *x\n", "f.yaml:1:4: `*x` names nothing above it"),
        ("a: 2026-02-30\n", 'f.yaml:1:4: "2026-02-30" is no day of the calendar; expected year-month-day'),
        ("a: 1\nb: x\x07y\n", "f.yaml:2:5: a character that is no text (number 7); leave it out"),
        ('a: "\\e[31m"\n', "f.yaml:1:4: a character that is no text (number 27); leave it out"),
        ("a: x\u202ey\n", "f.yaml:1:5: a character that is no text (number 8238); leave it out"),
        ("a: [1,\nb: 2\n", 'f.yaml:1:4: "[" is opened here and not closed, or a comma is missing'),
        ("a: {b: 1\n", 'f.yaml:1:4: "{" is opened here and not closed, or a comma is missing'),
        (
            "a: b: c\n",
            "f.yaml:1:5: a colon cannot stand here; check the indentation, or put the text in quotes",
        ),
        (
            "a: 1\n  b: 2\n",
            "f.yaml:2:4: a colon cannot stand here; check the indentation, or put the text in quotes",
        ),
        ("\ta: 1\n", "f.yaml:1:1: a tab indents this line; expected spaces"),
        ("a:\n\t- 1\n", "f.yaml:2:1: a tab indents this line; expected spaces"),
        ("a: 'x\n", "f.yaml:1:4: a quote is opened here and never closed"),
        ("a: @x\n", 'f.yaml:1:4: "@" cannot begin a value; expected the text in quotes'),
        ("a: 1\n- b\n", "f.yaml:2:1: this line does not line up with the lines above it"),
        ("a: - b\n", "f.yaml:1:4: a list cannot begin here; expected `-` on a line of its own"),
        ("a: 1\nb\nc: 2\n", "f.yaml:2:1: a key without its colon"),
        ("%YAML 3.0\n---\na: 1\n", "f.yaml:1:1: another version of YAML; expected none to be named"),
        ("a: |x\n", "f.yaml:1:5: not readable as YAML; expected `key: value` lines"),
    ],
)
def test_refused(text: str, said: str, loader: Any) -> None:
    assert problems(text) == [said]


def test_unknown_escape(loader: Any) -> None:
    """The two parsers point at the quote or at the backslash."""
    [said] = problems('a: "\\q"\n')
    assert said.endswith(": this backslash means nothing here; expected text in single quotes")


def test_nesting_is_bounded(loader: Any) -> None:
    depth = reading.MAX_DEPTH
    assert parse("a: " + "[" * (depth - 1) + "]" * (depth - 1), "f.yaml").data["a"]
    assert problems("a: " + "[" * depth + "]" * depth) == [
        f"f.yaml:1:{depth + 3}: nested deeper than {depth} levels; expected a flatter file"
    ]
    assert "nested deeper" in problems("a: " + "[" * 300_000)[0]
    assert "nested deeper" in problems("a: " + "{b: " * 300_000)[0]


def test_nesting_through_aliases_is_bounded(loader: Any) -> None:
    text = "a: &a " + "[" * 15 + "]" * 15 + "\nb: " + "[" * 10 + "*a" + "]" * 10
    assert problems(text) == ["f.yaml:2:14: nested deeper than 20 levels; expected a flatter file"]


def test_alias_bomb(loader: Any) -> None:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]" for i in range(1, 10)]
    [said] = problems("\n".join(lines))
    assert said.endswith("more than 20,000 values, with aliases written out; expected a smaller file")


def test_number_of_values_is_bounded(loader: Any) -> None:
    assert len(parse("a: [" + "1," * 19_000 + "]", "f.yaml").data["a"]) == 19_000
    assert "more than 20,000 values" in problems("a: [" + "1," * 21_000 + "]")[0]


def test_bom_and_windows_lines(tmp_path: Path) -> None:
    file = tmp_path / "f.yaml"
    file.write_bytes(b"\xef\xbb\xbfa: 1\r\nb: [2]\r\n")
    document = read(file)
    assert document.data == {"a": 1, "b": [2]}
    assert document.place(("b", 0)) == (2, 5, 1)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "this file is empty; expected a YAML file"),
        (b"a: \xff\xfe\n", "this is no text in UTF-8; expected a YAML file"),
        (b"a: 1\x00\n", "this is no text; expected a YAML file"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "this is a picture; expected a YAML file, in UTF-8"),
        (b"#" * 1_000_001, "1,000,001 bytes long; expected at most 1,000,000"),
    ],
)
def test_refused_bytes(content: bytes, said: str, tmp_path: Path) -> None:
    file = tmp_path / "f.yaml"
    file.write_bytes(content)
    with pytest.raises(InputError) as caught:
        read(file)
    assert [problem.text for problem in caught.value.problems] == [said]


def test_bad_byte_has_its_line(tmp_path: Path) -> None:
    (tmp_path / "f.yaml").write_bytes(b"a: 1\nb: \xff\n")
    with pytest.raises(InputError) as caught:
        read(tmp_path / "f.yaml")
    assert caught.value.problems[0].line == 2


def test_a_huge_file_is_not_read(tmp_path: Path) -> None:
    file = tmp_path / "f.yaml"
    with file.open("wb") as stream:
        stream.truncate(50_000_000)
    with pytest.raises(InputError, match="50,000,000 bytes long; expected at most 1,000,000"):
        read(file)


def test_no_file(tmp_path: Path) -> None:
    for path, said in (
        (tmp_path / "none.yaml", "there is no such file"),
        (tmp_path, "this is a directory; expected a YAML file"),
        ("a\0b.yaml", "this file cannot be read: not a usable file name"),
        ("x" * 5000 + ".yaml", "this file cannot be read: file name too long"),
    ):
        with pytest.raises(InputError) as caught:
            read(path)
        assert [problem.text for problem in caught.value.problems] == [said]
        assert caught.value.problems[0].line == 0


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"a: 1\na: 2\n", 'stdin:2:1: key "a" stands here twice; first in line 1'),
        (b"", "stdin: this file is empty; expected a YAML file"),
        (b"#" * 2_000_000, "stdin: longer than 1,000,000 bytes; expected a YAML file"),
    ],
)
def test_standard_input(content: bytes, said: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", SimpleNamespace(buffer=io.BytesIO(content)))
    with pytest.raises(InputError) as caught:
        read("-")
    assert [str(problem) for problem in caught.value.problems] == [said]


def test_no_standard_input(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", None)
    with pytest.raises(InputError, match="stdin: this file is empty"):
        read("-")
