"""A real browser for tests of what people see: no network, a new profile; without one the tests are skipped."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from typing import Any

import pytest

ARGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update",
        "--disable-sync"]


@pytest.fixture(scope="session")
def launched() -> Iterator[tuple[Any, str]]:
    """Playwright's Chromium, not yet begun, and the program that it starts."""
    found = os.environ.get("SEATPLAN_CHROMIUM") or shutil.which("chromium")
    if os.environ.get("SEATPLAN_BROWSER") == "must":     # as `.ci/run` says: there a missing browser is a failure
        assert found, "no chromium on this machine"
        import_module("playwright.sync_api")
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed: see .ci/run")
    if not found:
        pytest.skip("no chromium here: see .ci/run")
    with playwright.sync_playwright() as running:
        yield running.chromium, found


@pytest.fixture(scope="session")
def browser(launched: tuple[Any, str], tmp_path_factory: pytest.TempPathFactory) -> Iterator[object]:
    """A browser context without network."""
    chromium, found = launched
    context = chromium.launch_persistent_context(
        tmp_path_factory.mktemp("profile"), executable_path=found, args=ARGS, offline=True)
    yield context
    context.close()


@pytest.fixture(scope="session")
def chromium(launched: tuple[Any, str]) -> Iterator[Any]:
    """A browser that comes as far as a server on this machine."""
    program, found = launched
    begun = program.launch(executable_path=found, args=ARGS)
    yield begun
    begun.close()


@pytest.fixture(scope="session")
def axe() -> str:
    """The accessibility checker axe-core, as it comes with its Python package."""
    package = pytest.importorskip("axe_playwright_python", reason="axe-core is not installed: see .ci/run")
    return (Path(package.__file__).parent / "axe.min.js").read_text(encoding="utf-8")
