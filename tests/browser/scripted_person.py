"""A person at a browser who fills in fields and makes choices, counted by one rule."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any


@dataclass
class Person:
    """The rule: each field that is filled, each choice that is made, each button and each link that is pressed is one
    input, also where the page would have had the same answer without. ``script``: whether pages run theirs;
    ``keys``: everything is done by keyboard."""

    page: Any
    script: bool = True
    keys: bool = False
    inputs: int = 0

    @contextmanager
    def within(self, most: int, what: str) -> Iterator[None]:
        """What is done inside takes at most so many inputs."""
        before = self.inputs
        yield
        took = self.inputs - before
        print(f"{what}: {took} inputs")
        assert took <= most, f"{what} took {took} inputs, {most} are meant to be enough"

    def fill(self, name: str, value: str) -> None:
        """Fill a field, by its name in the form."""
        self.inputs += 1
        asked = self.page.locator(f'[name="{name}"]')
        if self.keys:
            self._reach(f'[name="{name}"]')
            self.page.keyboard.type(f"{value[5:7]}{value[8:]}{value[:4]}" if asked.get_attribute("type") == "date"
                                    else value)
        else:
            asked.fill(value)

    def choose(self, name: str, value: str) -> None:
        """Make a choice: a chip, a tile, or an entry of a list."""
        self.inputs += 1
        if self.page.locator(f'select[name="{name}"]').count():
            self._pick(f'select[name="{name}"]', value)
        elif self.keys:
            self._arrow_to(name, value)
        else:
            self.page.locator(f'label:has(input[name="{name}"][value="{value}"])').click()

    def choose_in(self, form: str, name: str, value: str) -> None:
        """The same in one of several forms that ask for it."""
        self.inputs += 1
        self._pick(f'{form} select[name="{name}"]', value)

    def put(self, values: Mapping[str, str], before: str = "", save: bool = True) -> None:
        """Fill or choose all of it, by the names of the fields behind ``before``, then leave the last one; and where
        pages have no script, save it."""
        for name, value in values.items():
            radio = self.page.locator(f'input[type=radio][name="{before}{name}"], select[name="{before}{name}"]')
            (self.choose if radio.count() else self.fill)(before + name, value)
        if save or self.script:
            self.saved()

    def press(self, selector: str) -> None:
        """Press a button or a link; the page that comes is there afterwards."""
        self.inputs += 1
        if self.keys:
            self._reach(selector)
        with self.page.expect_navigation():
            if self.keys:
                self.page.keyboard.press("Enter")
            else:
                self.page.locator(selector).first.click()

    def saved(self) -> None:
        """What was typed is on the server, and the page shows what came of it."""
        if not self.script:
            self.press("form[data-saves] button.save:not([name])")
            return
        self.page.keyboard.press("Tab")                  # leaves the field, as a hand does
        self.quiet()
        told = self.page.locator("#saving").inner_text()
        assert told.startswith("Saved."), told

    def quiet(self) -> None:
        """Nothing that the page asked for by itself is still under way."""
        self.page.locator("#saving[data-going], main [aria-busy]").first.wait_for(state="detached")

    # --- by keyboard

    def _reach(self, selector: str) -> None:
        """Tab on until it has the focus: backwards where that is where it stands."""
        target = self.page.locator(selector).first
        for _ in range(400):
            if target.evaluate("it => it === document.activeElement"):
                return
            back = target.evaluate("""it => Boolean(document.activeElement !== document.body &&
                it.compareDocumentPosition(document.activeElement) & Node.DOCUMENT_POSITION_FOLLOWING)""")
            self.page.keyboard.press("Shift+Tab" if back else "Tab")
        raise AssertionError(f"the keyboard does not come to {selector}")

    def _pick(self, selector: str, value: str) -> None:
        chosen = self.page.locator(selector)
        if not self.keys:
            chosen.select_option(value)
            return
        self._reach(selector)
        values = chosen.evaluate("it => Array.from(it.options, one => one.value)")
        steps = values.index(value) - values.index(chosen.input_value())
        for _ in range(abs(steps)):
            self.page.keyboard.press("ArrowDown" if steps > 0 else "ArrowUp")
        assert chosen.input_value() == value

    def _arrow_to(self, name: str, value: str) -> None:
        """Radio buttons have one place in the order of tabs, and arrows go between them."""
        group = self.page.locator(f'input[type=radio][name="{name}"]')
        at = f'input[type=radio][name="{name}"]'
        self._reach(f"{at}:checked" if self.page.locator(f"{at}:checked").count() else at)
        if self.page.locator(f"{at}:checked").count() == 0:
            self.page.keyboard.press("Space")
        for _ in range(group.count()):
            if self.page.locator(f'{at}[value="{value}"]').is_checked():
                return
            self.page.keyboard.press("ArrowRight")
        raise AssertionError(f"the arrows do not come to {name} = {value}")


def seated(page: Any) -> dict[str, str]:
    """Who sits where, as the answer of a page says it."""
    rows = page.locator("#answer table").first.locator("tbody tr")
    told = [re.split(r"\s*\n\s*|\t", row) for row in rows.evaluate_all(
        "rows => rows.map(row => Array.from(row.children, cell => cell.textContent.trim()).join('\\n'))")]
    return {cells[0]: cells[1] for cells in told}


def sideways(page: Any) -> int:
    """By how many CSS pixels a page is wider than its window."""
    return int(page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth"))
