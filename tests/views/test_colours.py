"""Colours of drawings and pages, light and dark: what is read stands out, and nothing is said by colour alone."""

from __future__ import annotations

import re

import pytest

from seatplan.views.pages import page_file
from seatplan.views.svg import ink

SCHEMES = ("light", "dark")
_DARK = re.compile(r"@media[^{]*prefers-color-scheme: dark\) \{(.*?)\n\}", re.DOTALL)
#: what stands on what: letters, and what is below them
LETTERS = [*(("text", on) for on in ("paper", "back", "free", "body", "hollow", "pale", "dot")),
           *(("quiet", on) for on in ("paper", "free", "pale")), ("on-black", "solid")]
#: lines that carry meaning, and what is below them
LINES = [(line, on) for on in ("paper", "body") for line in (
    "shell", "base", "person", "guess", "free", "seat", "line", "thin", "chain", "strap", "hatch", "solid", "hollow")]
#: of pages: what is read, and what it stands on
READ = {"report": [("ink", "paper"), ("ink", "soft"), ("link", "paper"), ("link", "soft")],
        "sheet": [("ink", "paper"), ("quiet", "paper"), ("paper", "ink")]}


def luminance(colour: str) -> float:
    """WCAG 2.1, relative luminance."""
    digits = colour[1:] if len(colour) == 7 else "".join(c * 2 for c in colour[1:])
    parts = [int(digits[i:i + 2], 16) / 255 for i in (0, 2, 4)]
    linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def rules(text: str) -> dict[str, dict[str, str]]:
    """Class, or tag -> its properties, those that come later over those before."""
    found: dict[str, dict[str, str]] = {}
    for selectors, held in re.findall(r"([^{}]+)\{([^{}]*)\}", text):
        for selector in selectors.split(","):
            if (one := re.fullmatch(r"\.sp \.?([\w-]+)", selector.strip())) is not None:
                found.setdefault(one[1], {}).update(re.findall(r"([\w-]+): ([^;]+);", held))
    return found


def drawing(scheme: str) -> dict[str, dict[str, str]]:
    """The colours of drawings; those of hatches and of the ground stand in the file itself."""
    css = re.sub(r"/\*.*?\*/", "", page_file("drawing.css"), flags=re.DOTALL)
    [dark] = _DARK.findall(css)
    found = {"paper": {"fill": ink.WHITE}, "hatch": {"stroke": ink.GREY}, "pale": {"stroke": ink.PALE},
             "dot": {"fill": ink.PALE}}
    for text in (_DARK.sub("", css), *([dark] if scheme == "dark" else [])):
        for name, held in rules(text).items():
            found.setdefault(name, {}).update(held)
    return found


def variables(page: str, scheme: str) -> dict[str, str]:
    css = page_file(f"{page}.css")
    found = dict(re.findall(r"--(\w+): (#\w+);", css[css.index(":root {"):].split("}")[0]))
    if scheme == "dark":
        [dark] = _DARK.findall(css)
        found |= dict(re.findall(r"--(\w+): (#\w+);", dark))
    return found


def below(colours: dict[str, dict[str, str]], name: str) -> str:
    held = colours[name]
    return held["stroke"] if name == "pale" else held["fill"]


@pytest.mark.parametrize("scheme", SCHEMES)
def test_letters_of_drawings_stand_out(scheme: str):
    """4.5:1 (WCAG 2.1, 1.4.3)."""
    colours = drawing(scheme)
    assert colours["text"]["fill"] == {"light": ink.BLACK, "dark": "#f2f2f2"}[scheme]
    told = {(letters, on): contrast(colours[letters]["fill"], below(colours, on)) for letters, on in LETTERS}
    assert {pair: ratio for pair, ratio in told.items() if ratio < 4.5} == {}


@pytest.mark.parametrize("scheme", SCHEMES)
def test_lines_of_drawings_stand_out(scheme: str):
    """3:1 (WCAG 2.1, 1.4.11)."""
    colours = drawing(scheme)
    told = {(line, on): contrast(colours[line]["stroke"], below(colours, on)) for line, on in LINES}
    assert {pair: ratio for pair, ratio in told.items() if ratio < 3} == {}


def test_every_colour_of_a_drawing_has_a_dark_one():
    light, dark = drawing("light"), drawing("dark")
    same = {(name, what) for name, held in light.items() for what in ("fill", "stroke")
            if what in held and held[what] == dark[name][what]}
    assert same == set()


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("page", list(READ))
def test_letters_of_pages_stand_out(page: str, scheme: str):
    found = variables(page, scheme)
    assert {pair: ratio for pair in READ[page] if (ratio := contrast(*map(found.__getitem__, pair))) < 4.5} == {}
    assert contrast(found["line"], found["paper"]) >= (3 if page == "report" else 1.5)       # of a sheet: ornament


@pytest.mark.parametrize("page", ["drawing", *READ])
def test_paper_is_never_dark(page: str):
    """What is dark is asked for on screens only, or taken back for print."""
    css = page_file(f"{page}.css")
    asked = re.findall(r"@media ([^{]*prefers-color-scheme: dark\)) \{", css)
    assert len(asked) == 1
    if not asked[0].startswith("screen and"):
        printed = css[css.index("@media print"):]
        taken = dict(re.findall(r"--(\w+): (#\w+);", printed.split("}")[0]))
        assert (taken["ink"], taken["paper"], taken["soft"], taken["link"]) == ("#000", "#fff", "#fff", "#000")
        assert css.index("prefers-color-scheme") < css.index("@media print")


def test_no_meaning_by_colour_alone():
    """Only black, white and two greys are used, or what is in their place in the dark, and each kind of line has a
    pattern of its own."""
    css = page_file("drawing.css")
    assert set(re.findall(r"#[0-9a-f]{6}", _DARK.sub("", css))) <= {ink.BLACK, ink.WHITE, ink.GREY, ink.PALE}
    assert len(set(re.findall(r"#[0-9a-f]{6}", _DARK.findall(css)[0]))) == 4
    dashes = {kind: re.findall(rf"\.sp \.{kind} {{.*?stroke-dasharray: ([\d ]+)", css)
              for kind in ("base", "person", "guess", "free", "strap")}
    patterns = [tuple(found) for found in dashes.values()]
    assert len(set(patterns)) == len(patterns)
    assert all(patterns)
