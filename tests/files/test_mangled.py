"""Whatever a file holds, it is read or refused with places: never a traceback."""

from pathlib import Path

import file_samples
import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from seatplan.doubt.check import check
from seatplan.files import library
from seatplan.files.errors import InputError
from seatplan.files.fleet_file import fleet_from
from seatplan.files.load import restraint_from, trip_from, vehicle_from
from seatplan.files.reading import parse

TEMPLATES = Path(library.__file__).parent.parent / "data" / "templates"
TEXTS = [file_samples.VEHICLE, file_samples.RESTRAINT, file_samples.TRIP] + [
    (TEMPLATES / f"{kind}.yaml").read_text(encoding="utf-8") for kind in ("vehicle", "restraint", "trip", "fleet")
]
KEYS = sorted({word.strip("{}[],:- ") for text in TEXTS for word in text.split() if word.endswith(":")})
WORDS = [
    "none",
    "yes",
    "no",
    "null",
    "2L",
    "1L",
    "a",
    "b",
    "t1",
    "lap",
    "lap-shoulder",
    "8y",
    "43 cm",
    "2026-11-25",
    "~",
    "-",
    "lower-anchors",
    "rear-facing-harness",
    "harrow-estate",
    "nook-35",
    "../x",
    "1e999",
    "-1",
    "0",
    "12.5",
    "''",
]

slow = settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])


def must_not_crash(text: str) -> None:
    """Each loader in turn: a record, or problems that have a text and a place within the file."""
    lines = (
        text.count("\n")
        + text.count("\r")
        + text.count("\x85")
        + text.count("\u2028")
        + text.count("\u2029")
        + 2
    )
    for make in (vehicle_from, restraint_from, trip_from, fleet_from):
        problems = None
        try:
            make(parse(text, "f.yaml"))
        except InputError as error:
            problems = error.problems
        assert problems != []
        for problem in problems or ():
            assert 0 <= problem.line <= lines or problem.path != "f.yaml"
            assert 0 < len(problem.text) < 2000
            assert str(problem).isprintable()


@slow
@given(st.sampled_from(TEXTS), st.data())
def test_flipped_bytes(text: str, data: st.DataObject) -> None:
    raw = bytearray(text.encode())
    for _ in range(data.draw(st.integers(1, 4))):
        raw[data.draw(st.integers(0, len(raw) - 1))] = data.draw(st.integers(0, 255))
    must_not_crash(raw.decode("utf-8", "replace"))


@slow
@given(st.sampled_from(TEXTS), st.data())
def test_lines_lost_doubled_and_moved(text: str, data: st.DataObject) -> None:
    lines = text.splitlines(keepends=True)
    for _ in range(data.draw(st.integers(1, 5))):
        at, to = (data.draw(st.integers(0, len(lines) - 1)) for _ in range(2))
        what = data.draw(st.sampled_from(["lose", "double", "move", "indent"]))
        if what == "lose" and len(lines) > 1:
            del lines[at]
        elif what == "double":
            lines.insert(to, lines[at])
        elif what == "move":
            lines.insert(to, lines.pop(at))
        else:
            lines[at] = "  " + lines[at]
    must_not_crash("".join(lines))


@slow
@given(st.sampled_from(TEXTS), st.data())
def test_values_exchanged(text: str, data: st.DataObject) -> None:
    """Other words, lists and keys where a value stood: the file stays YAML, and the records must cope."""
    tokens = text.split(" ")
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(tokens) - 1))
        tokens[at] = data.draw(st.sampled_from([*WORDS, "[]", "{}", "[a, 1]", "[[1, 2], 3]", "{a: 1}"])) + (
            "\n" if "\n" in tokens[at] else "," if tokens[at].endswith(",") else ""
        )
    must_not_crash(" ".join(tokens))


scalars = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.dates(),
    st.text(max_size=20),
    st.sampled_from(WORDS),
)
trees = st.recursive(
    scalars,
    lambda inner: st.one_of(
        st.lists(inner, max_size=4), st.dictionaries(st.sampled_from(KEYS), inner, max_size=6)
    ),
    max_leaves=40,
)


@slow
@given(
    st.dictionaries(
        st.sampled_from([*KEYS, "vehicle", "rows", "riders", "modes", "trip", "restraint"]),
        trees,
        min_size=1,
        max_size=8,
    )
)
def test_random_trees(tree: dict[str, object]) -> None:
    must_not_crash(yaml.safe_dump(tree, allow_unicode=True))


@slow
@given(st.text(max_size=300))
def test_random_text(text: str) -> None:
    must_not_crash(text)


@slow
@given(st.binary(max_size=300))
def test_random_bytes(tmp_path: Path, raw: bytes) -> None:
    file = tmp_path / "f.yaml"
    file.write_bytes(raw)
    [report] = check([str(file)])
    assert report.problems or report.kind


@pytest.mark.parametrize(
    "text",
    [
        "vehicle: " + "[" * 1_000_000,
        "vehicle: {" * 100_000,
        "vehicle: 'x",
        "vehicle: " + "9" * 5000,
        "vehicle: &a [*a]",
        "vehicle: x\nrows: " + "[{" * 9 + "}]" * 9,
        "&a vehicle: *a",
        "vehicle: " + "x " * 400_000,
        "rows: [" + "{row: 1}, " * 6000 + "]",
        "trip: x\nriders: [" + "x, " * 15_000 + "]",
        "trip: x\nrestraints: [" + "nook-35, " * 15_000 + "]",
        "- " * 10_000,
        "? " * 10_000,
        "a: " + "*" * 10_000,
        "a: " + "!" * 10_000,
        "a: " + "&x " * 10_000,
        "vehicle: ../../../../etc",
        "trip: x\nvehicle: /dev/null\n",
    ],
    ids=range(18),
)
def test_hostile(text: str) -> None:
    must_not_crash(text)
