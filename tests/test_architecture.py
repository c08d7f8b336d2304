"""How the program is built: what a quick command may import, the rules in order, files of one subject."""

from __future__ import annotations

import inspect
import re
import subprocess
import sys
from pathlib import Path

import pytest

import seatplan
from seatplan.rules.load import BUNDLED, bundled_profile
from seatplan.rules.registry import RETIRED, RULES
from seatplan.rules.rule import Rule

PACKAGE = Path(seatplan.__file__).parent
TESTS = Path(__file__).parent
SOURCES = sorted(PACKAGE.rglob("*.py"))
HEADINGS = ["Checks", "Why", "Limits", "Blocks"]
HEAVY = ("pydantic", "shapely", "networkx", "yaml", "numpy")
EVERY_RULE = pytest.mark.parametrize("rule", RULES, ids=[rule.id for rule in RULES])


def imported_by(*args: str) -> set[str]:
    """Modules that are loaded once a command has run."""
    code = ("import sys\nfrom seatplan.cli.main import run\n"
            "try:\n    run(sys.argv[1:])\nexcept SystemExit as left:\n    assert left.code == 0\n"
            "print('LOADED', *sorted(sys.modules))")
    done = subprocess.run(
        [sys.executable, "-c", code, *args], cwd=PACKAGE.parent, capture_output=True, text=True, check=True)
    return set(done.stdout.splitlines()[-1].split()[1:])


#: modules of views that may read text, and what of
READS = {
    "template_text.py": "comments of the files to fill in, which are ours and no message",
    "markup.py": "what a name or a note may hold and no file of XML can",
    "fleet/cards_html.py": "what the name of a driver may hold and the name of a file cannot",
}


def test_no_view_parses_a_text_that_we_made():
    """A message has typed fields: its text is not searched for what it says."""
    found = {file.relative_to(PACKAGE / "views").as_posix() for file in SOURCES
             if file.is_relative_to(PACKAGE / "views")
             and re.search(r"^\s*(import re|from re import)\b", file.read_text(encoding="utf-8"), re.MULTILINE)}
    assert found == set(READS)


@pytest.mark.parametrize("args", [
    ("--version",), ("--help",), ("rules",), ("arrange", "--help")], ids=" ".join)
def test_quick_commands_import_nothing_heavy(args: tuple[str, ...]):
    assert imported_by(*args) & set(HEAVY) == set()


def test_explaining_a_rule_reads_thresholds_and_nothing_heavier():
    assert imported_by("rules", "head-near-shell-top") & set(HEAVY) <= {"yaml"}


def test_planning_does_import_what_the_test_above_looks_for():
    assert {"pydantic", "yaml"} <= imported_by("arrange", "two-seater-airbag-off")
    assert {"numpy"} <= imported_by("arrange", "nine-seat-shuttle")


def test_a_row_of_three_starts_no_library_for_many_numbers():
    """They take a fifth of such a command; nor does it ask in which order anything is installed."""
    assert imported_by("arrange", "three-across-school-run") & {
        "shapely", "numpy", "networkx", "seatplan.solver.installing", "seatplan.solver.explain"} == set()
    assert "seatplan.solver.installing" in imported_by("sheet", "three-across-school-run", "-o", "-")


def test_rules_are_sorted_and_named_once():
    ids = [rule.id for rule in RULES]
    assert ids == sorted(set(ids))
    assert not set(ids) & set(RETIRED)


@EVERY_RULE
def test_rule_says_where_it_comes_from_and_what_helps(rule: Rule):
    assert rule.source.strip()
    assert rule.remedy.strip()
    assert rule.title.strip()
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", rule.id)


@EVERY_RULE
def test_rule_is_explained_under_its_headings(rule: Rule):
    lines = inspect.cleandoc(rule.text).splitlines()
    assert lines[0].strip(), "the first line says what is wrong"
    found = [line.partition(":")[0] for line in lines if re.match(r"[A-Z][a-z]+:", line)]
    assert found == HEADINGS


@EVERY_RULE
def test_rule_has_words_for_a_failing_of_its_strength(rule: Rule):
    words = rule.says
    # they only ever ask for a number
    if rule.id in ("child-limits-unknown", "number-doubted", "size-only-reckoned"):
        assert words == {}
        return
    assert "pass" in words
    assert ("block" if rule.strength == "must" else "caution") in words


@EVERY_RULE
def test_rule_names_limits_of_a_profile_that_it_belongs_to(rule: Rule):
    assert set(rule.profiles) <= set(BUNDLED)
    for name in rule.limits:
        assert any(name in bundled_profile(profile).thresholds for profile in rule.profiles), name


@pytest.mark.parametrize("file", SOURCES, ids=lambda file: str(file.relative_to(PACKAGE)))
def test_file_says_what_its_one_subject_is(file: Path):
    text = file.read_text(encoding="utf-8")
    assert text.startswith('"""'), "a docstring says what the file is about"


def test_no_paths_of_one_machine():
    roots = "|".join(("work", "tmp", "root", "home", "Users"))
    machine = re.compile(rf"(?<![\w.~])/(?:{roots})/\w")
    files = [*SOURCES, *TESTS.rglob("*.py"), *(f for f in (PACKAGE / "data").rglob("*.*") if f.suffix != ".mo"),
             *(file for file in PACKAGE.parent.glob("*.*") if file.suffix in (".md", ".toml"))]
    assert [str(file) for file in files if machine.search(file.read_text(encoding="utf-8"))] == []


def test_only_records_know_pydantic_and_only_geometry_knows_shapes():
    allowed = {"pydantic": ("files", "model"), "shapely": ("geometry",), "networkx": ("growth", "solver"),
               "click": ("cli",)}
    for file in SOURCES:
        layer = file.relative_to(PACKAGE).parts[0]
        text = file.read_text(encoding="utf-8")
        for library in re.findall(r"^\s*(?:import|from) (\w+)", text, re.MULTILINE):
            assert layer in allowed.get(library, (layer,)), f"{file} imports {library}"
