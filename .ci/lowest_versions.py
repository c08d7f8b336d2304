"""Print the lowest versions that pyproject.toml allows, as constraints for pip: lowest_versions.py [EXTRA ...]"""

from __future__ import annotations

import sys
import tomllib
from pathlib import Path

from packaging.requirements import Requirement
from packaging.version import Version


def lowest(line: str) -> str:
    """``name==version``; an error where a requirement has no lower bound."""
    requirement = Requirement(line)
    bounds = [Version(part.version) for part in requirement.specifier if part.operator in (">=", "==", "~=")]
    if not bounds:
        raise SystemExit(f'pyproject.toml: "{line}" has no lower bound; expected one such as "{requirement.name}>=1.2"')
    return f"{requirement.name}=={max(bounds)}"


def main(extras: list[str]) -> None:
    project = tomllib.loads((Path(__file__).parents[1] / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lines = project["dependencies"] + [line for name in extras for line in project["optional-dependencies"][name]]
    print(*sorted({lowest(line) for line in lines}), sep="\n")


if __name__ == "__main__":
    main(sys.argv[1:])
