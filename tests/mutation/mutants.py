"""Mutation testing: small faults are put into a file, one at a time, and its tests must notice.

    python tests/mutation/mutants.py seatplan/rules/belt.py          # or several files
    python tests/mutation/mutants.py --sample 50 --seed 1 seatplan/rules/*.py

The faults are made by cosmic-ray. A mutant lives in memory only: a forked child reads the changed text instead of the
file and runs the tests, quick ones first. What survives is printed; read whether it is the same program (a default
that never counts, `==` or `<=` between words that no third one comes between) or asks for a test.
"""

from __future__ import annotations

import argparse
import ast
import os
import random
import re
import signal
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.machinery import SourceFileLoader
from pathlib import Path
from types import CodeType
from typing import Any

import cosmic_ray.plugins
import hypothesis
import pytest
from cosmic_ray.ast import Visitor, get_ast
from cosmic_ray.mutating import mutate_code

ROOT = Path(__file__).resolve().parents[2]
#: what cosmic-ray puts for a binary operator; its other choices nearly always end in a TypeError
BINARY = {"Add_Sub", "Sub_Add", "Mul_Div", "Mul_Add", "Div_Mul", "Div_FloorDiv", "FloorDiv_Mul", "FloorDiv_Div",
          "Mod_Mul", "Pow_Mul", "BitOr_BitAnd", "BitOr_BitXor", "BitAnd_BitOr", "BitAnd_BitXor", "LShift_RShift",
          "RShift_LShift"}
#: words for people in the decorator of a rule
WORDS = {"title", "source", "remedy", "reads"}
SECONDS = 300


@dataclass(frozen=True, slots=True)
class Mutant:
    operator: str
    occurrence: int
    line: int


class _Places(Visitor):
    """Collects where an operator applies, without changing anything."""

    def __init__(self, operator: Any) -> None:
        self._operator = operator
        self.found: list[tuple[tuple[int, int], tuple[int, int]]] = []

    def visit(self, node: Any) -> Any:
        self.found += self._operator.mutation_positions(node)
        return node


def wanted(name: str) -> bool:
    """Operators that make faults somebody could make; not ``is`` for ``==``, which are the same for most values."""
    kind, _, pair = name.removeprefix("core/").partition("_")
    if kind == "ReplaceBinaryOperator":
        return pair in BINARY
    if kind == "ReplaceComparisonOperator":
        before, after = pair.split("_")
        return (before in ("Is", "IsNot")) == (after in ("Is", "IsNot"))
    return not kind.startswith("Variable")


def left_out(tree: ast.Module) -> Iterator[ast.AST]:
    """Annotations, names for types, imports for the type checker, and words for people."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            yield from filter(None, [node.returns])
            calls = [d for d in node.decorator_list if isinstance(d, ast.Call)]
            yield from (word.value for call in calls for word in call.keywords if word.arg in WORDS)
        elif isinstance(node, ast.arg | ast.AnnAssign):
            yield from filter(None, [node.annotation])
        elif isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
            yield node
    yield from (node.value for node in tree.body
                if isinstance(node, ast.Assign) and isinstance(node.value, ast.Subscript))


def mutants(text: str) -> list[Mutant]:
    spans = [((n.lineno, n.col_offset), (n.end_lineno, n.end_col_offset))  # type: ignore[attr-defined]
             for n in left_out(ast.parse(text))]
    tree, lines, found = get_ast(text), text.splitlines(), []
    for name in sorted(filter(wanted, cosmic_ray.plugins.operator_names())):
        places = _Places(cosmic_ray.plugins.get_operator(name)())
        places.walk(tree)
        for occurrence, (start, end) in enumerate(places.found):
            keyword_only = lines[start[0] - 1][start[1]:].startswith("*,")
            if not keyword_only and not any(a <= tuple(start) and tuple(end) <= b for a, b in spans):
                found.append(Mutant(name, occurrence, start[0]))
    return found


def tests_of(file: Path) -> list[list[str]]:
    """The tests of a file: quick ones, and all that could tell where those do not."""
    if file.parent.name == "rules":
        ids = re.findall(r'@rule\(\s*"([a-z0-9-]+)"', file.read_text(encoding="utf-8"))
        own = [["tests/rules/test_cases.py", "-k", " or ".join(ids)]] if ids else []
        return [*own, ["tests/rules"], ["tests/solver/test_along_trips.py", "tests/solver/test_seatings.py"]]
    if file.parent.name == "geometry":
        return [["tests/geometry/test_chain_by_hand.py", "tests/test_records.py"], ["tests/geometry"], ["tests/solver"]]
    name = {"seatings": "bitmasks"}.get(file.stem, file.stem)
    own = f"tests/solver/test_{name}.py"
    return [*([[own, "tests/test_records.py"]] if (ROOT / own).exists() else []),
            ["tests/solver/test_along_trips.py", "tests/solver/test_slow.py", "-k", "along or 0-19 or 40-59"],
            ["tests/solver"]]


def passes(file: Path, text: str, tests: list[str]) -> bool:
    """Whether the tests pass, in a child that sees ``text`` in place of the file. Taking too long is no pass."""
    child = os.fork()
    if child == 0:
        _run(file, text, tests)
    end = time.monotonic() + SECONDS
    while time.monotonic() < end:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            return os.WIFEXITED(status) and os.WEXITSTATUS(status) == 0
        time.sleep(0.02)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return False


def _run(file: Path, text: str, tests: list[str]) -> None:
    unchanged = SourceFileLoader.get_code

    def get_code(self: SourceFileLoader, name: str) -> CodeType | None:
        return compile(text, self.path, "exec") if Path(self.path) == file else unchanged(self, name)

    SourceFileLoader.get_code = get_code  # type: ignore[method-assign,assignment]
    silent = os.open(os.devnull, os.O_RDWR)
    os.dup2(silent, 1)
    os.dup2(silent, 2)
    os._exit(int(pytest.main(["-q", "-x", "--tb=no", "-p", "no:cacheprovider", *tests])))


def survivors(file: Path, chosen: list[Mutant]) -> list[str]:
    text = file.read_text(encoding="utf-8")
    assert passes(file, text, [t for tests in tests_of(file)[:1] for t in tests]), f"the tests of {file} fail as it is"
    found = []
    for mutant in chosen:
        changed = mutate_code(text, cosmic_ray.plugins.get_operator(mutant.operator)(), mutant.occurrence)
        if all(passes(file, changed, tests) for tests in tests_of(file)):
            new = next((b for a, b in zip(text.splitlines(), changed.splitlines(), strict=False) if a != b), "")
            place = f"{file.relative_to(ROOT)}:{mutant.line}"
            found.append(f"{place} {mutant.operator.removeprefix('core/')}: {new.strip()}")
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("files", nargs="+", type=Path)
    parser.add_argument("--sample", type=int, help="draw so many of all mutants of the files")
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    os.chdir(ROOT)
    sys.path.insert(0, str(ROOT))
    # a failing example is enough, it need not be made smaller
    hypothesis.settings.register_profile("mutants", phases=[hypothesis.Phase.explicit, hypothesis.Phase.generate])
    hypothesis.settings.load_profile("mutants")
    every = [(file.resolve(), mutant) for file in given.files for mutant in mutants(file.read_text(encoding="utf-8"))]
    drawn = random.Random(given.seed).sample(every, min(given.sample or len(every), len(every)))
    left = [line for file in sorted({file for file, _ in drawn})
            for line in survivors(file, [m for f, m in drawn if f == file])]
    print(*left, sep="\n")
    print(f"{len(drawn) - len(left)} of {len(drawn)} mutants killed")


if __name__ == "__main__":
    main()
