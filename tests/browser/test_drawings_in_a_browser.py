"""What a real browser makes of drawings and sheets: widths on a phone, printed pages, what axe-core finds."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from opened import FITTING, run

from seatplan.files.library import find

PHONE = 360


def opened(browser: Any, file: Path, width: int) -> Any:
    page = browser.new_page()
    page.set_viewport_size({"width": width, "height": 740})
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(file.as_uri())
    assert asked == [file.as_uri()], "nothing but the file itself is asked for"
    return page


def in_html(drawing: Path) -> Path:
    """An SVG in a page of its own, as it would be shown in one."""
    page = drawing.with_suffix(".html")
    page.write_text(f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>drawing</title>'
                    f'<meta name="viewport" content="width=device-width"></head><body style="margin:0"><main><h1>x</h1>'
                    f"{drawing.read_text(encoding='utf-8')}</main></body></html>", encoding="utf-8")
    return page


@pytest.mark.parametrize("name", FITTING)
def test_a_drawing_on_a_phone(browser: Any, tmp_path: Path, name: str):
    file = run(tmp_path, "draw", name, "plan.svg")
    page = opened(browser, in_html(file), PHONE)
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE
    heights = page.evaluate("[...document.querySelectorAll('svg text')].map(t => parseFloat("
                            "getComputedStyle(t).fontSize) * t.getScreenCTM().a)")
    assert len(heights) > 10
    assert min(heights) >= 9.5                             # px
    # letters stay on the page: a name too long for its body was cut
    ends = page.evaluate("[...document.querySelectorAll('svg text')].map(t => t.getBoundingClientRect())"
                         ".map(r => [r.left, r.right])")
    assert min(left for left, _ in ends) >= -1
    assert max(right for _, right in ends) <= PHONE + 1
    page.close()


@pytest.mark.parametrize("name", FITTING)
def test_an_svg_opens_by_itself(browser: Any, tmp_path: Path, name: str):
    page = opened(browser, run(tmp_path, "draw", name, "plan.svg"), PHONE)
    assert page.evaluate("document.documentElement.tagName") == "svg"
    assert page.evaluate("document.querySelectorAll('parsererror').length") == 0
    page.close()


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("name", FITTING)
def test_a_sheet_prints_a_page_a_restraint(browser: Any, tmp_path: Path, name: str, paper: str):
    file = run(tmp_path, "sheet", name, "sheet.html", "--paper", paper)
    page = opened(browser, file, 800)
    pdf = page.pdf(prefer_css_page_size=True)
    pages = len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))
    assert pages == page.evaluate("document.querySelectorAll('section').length")
    box = re.search(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)", pdf)
    assert box is not None
    wide, high = (float(side) / 72 * 25.4 for side in box.groups())
    assert (wide, high) == pytest.approx((210, 297) if paper == "a4" else (215.9, 279.4), abs=0.6)
    page.close()


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("name", FITTING)
def test_with_the_line_on_how_long_it_lasts_it_still_prints_a_page_a_restraint(
        browser: Any, tmp_path: Path, name: str, paper: str):
    page = opened(browser, run(tmp_path, "sheet", name, "sheet.html", "--until", "3y", "--paper", paper), 800)
    pdf = page.pdf(prefer_css_page_size=True)
    sections = page.evaluate("document.querySelectorAll('section').length")
    assert page.evaluate("document.querySelectorAll('.lasts').length") >= 1
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf)) == sections
    page.close()


def test_nothing_on_paper_needs_printed_backgrounds(browser: Any, tmp_path: Path):
    """White letters on a black background come out pale, or not at all, where backgrounds are not printed."""
    page = opened(browser, run(tmp_path, "sheet", "half-measured-car", "sheet.html"), 700)
    page.emulate_media(media="print")
    found = page.evaluate(
        "[...document.querySelectorAll('body *:not(svg *)')].filter(e => e.textContent.trim()).map(e => {"
        " const s = getComputedStyle(e); return [e.className, s.color, s.backgroundColor]; })")
    assert len(found) > 50
    dark = {"rgb(0, 0, 0)", "rgb(68, 68, 68)"}
    assert {tuple(one) for one in found if one[1] not in dark or one[2] not in ("rgba(0, 0, 0, 0)",
                                                                               "rgb(255, 255, 255)")} == set()
    border = page.evaluate("(() => { const s = getComputedStyle(document.querySelector('.seat'));"
                           " return [s.borderTopWidth, s.borderTopColor]; })()")
    assert border == ["2px", "rgb(0, 0, 0)"]
    page.close()


@pytest.mark.parametrize("name", FITTING)
def test_rows_of_a_cover_are_printed_on_one_scale(browser: Any, tmp_path: Path, name: str):
    page = opened(browser, run(tmp_path, "sheet", name, "sheet.html"), 711)
    page.emulate_media(media="print")
    scales = page.evaluate("[...document.querySelectorAll('.cover svg')].map(e => e.getScreenCTM().a)")
    assert scales
    assert max(scales) - min(scales) < 0.001
    page.close()


@pytest.mark.parametrize("name", FITTING)
def test_a_sheet_on_a_phone(browser: Any, tmp_path: Path, name: str):
    page = opened(browser, run(tmp_path, "sheet", name, "sheet.html"), PHONE)
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE
    letters = page.evaluate("[...document.querySelectorAll('svg text')].map(t => parseFloat("
                            "getComputedStyle(t).fontSize) * t.getScreenCTM().a)")
    assert min(letters) >= 8.5                             # px
    page.close()


#: what letters and ground of a drawing come to
COLOURS = ("(() => { const seen = (what, property) => [...new Set([...document.querySelectorAll(what)].map("
           "e => getComputedStyle(e)[property]))].sort(); return [seen('svg text:not(pattern text)', 'fill'), "
           "seen('.sp > .paper', 'fill')]; })()")
LIGHT = {"rgb(0, 0, 0)", "rgb(255, 255, 255)", "rgb(85, 85, 85)"}
DARK = {"rgb(176, 176, 176)", "rgb(24, 24, 24)", "rgb(242, 242, 242)"}


@pytest.mark.parametrize("what", ["draw", "sheet", "report"])
def test_the_dark_reaches_drawings_and_pages_but_no_paper(browser: Any, tmp_path: Path, what: str):
    file = run(tmp_path, what, "three-across-school-run", "plan.svg" if what == "draw" else "plan.html")
    page = opened(browser, file, 700)
    for scheme, media, wanted in (("light", "screen", LIGHT), ("dark", "screen", DARK), ("dark", "print", LIGHT),
                                  ("light", "print", LIGHT)):
        page.emulate_media(color_scheme=scheme, media=media)
        letters, ground = page.evaluate(COLOURS)
        assert {"rgb(0, 0, 0)", "rgb(242, 242, 242)"} & set(letters)
        assert set(letters) <= wanted
        assert set(ground) <= wanted
        assert (scheme == "dark" and media == "screen") == (ground == ["rgb(24, 24, 24)"])
        if what != "draw":
            body = page.evaluate("[getComputedStyle(document.body).color, getComputedStyle("
                                 f"document.{'documentElement' if what == 'sheet' else 'body'}).backgroundColor]")
            assert body == (["rgb(238, 238, 238)", "rgb(24, 24, 24)"] if (scheme, media) == ("dark", "screen") else
                            ["rgb(0, 0, 0)" if what == "sheet" or media == "print" else "rgb(17, 17, 17)",
                             "rgb(255, 255, 255)"])
    page.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [PHONE, 1200])
@pytest.mark.parametrize("name", ["three-across-school-run", "half-measured-car", "twins-small-hatch"])
@pytest.mark.parametrize("what", ["draw", "sheet"])
def test_axe_finds_nothing(browser: Any, axe: str, tmp_path: Path, what: str, name: str, width: int, scheme: str):
    file = run(tmp_path, what, name, "plan.svg" if what == "draw" else "sheet.html")
    page = opened(browser, in_html(file) if what == "draw" else file, width)
    page.emulate_media(color_scheme=scheme)
    page.evaluate(axe)
    found = page.evaluate("axe.run()")
    assert [(v["id"], [n["html"][:150] for n in v["nodes"]][:3]) for v in found["violations"]] == []
    assert len(found["passes"]) > 10
    page.close()


@pytest.mark.parametrize("letters", ["W", "il", "名", "Aé"])
def test_a_long_name_stays_inside_its_body(browser: Any, tmp_path: Path, letters: str):
    """Names of wide, narrow and other letters are folded or cut."""
    trip = tmp_path / "names.yaml"
    text = find("trip", "three-across-school-run").read_text(encoding="utf-8")
    trip.write_text(text.replace("Wren", (letters * 30)[:30]), encoding="utf-8")
    page = opened(browser, in_html(run(tmp_path, "draw", str(trip), "plan.svg")), PHONE)
    body, names = page.evaluate(
        "(() => { const g = document.querySelector('[data-position=\"2C\"]');"
        " return [g.querySelector('rect[data-part$=\"head-end\"]').getBoundingClientRect().width,"
        " [...g.querySelectorAll('text')].map(t => t.getBoundingClientRect().width)]; })()")
    assert len(names) == 4                                 # seat, who, in what, which way round
    assert max(names) <= body + 4                          # px; fonts differ
    page.close()


#: labels as the browser measures them, lines at every 2 px, both on the screen: which label is over what
CROSSED = """(() => {
  const found = [], texts = [...document.querySelectorAll('svg text:not(pattern text)')].map(e => {
    const r = e.getBoundingClientRect(), scale = e.getScreenCTM().a, size = parseFloat(getComputedStyle(e).fontSize);
    const base = e.getScreenCTM().d * parseFloat(e.getAttribute('y')) + e.getScreenCTM().f;
    const ground = e.previousElementSibling && e.previousElementSibling.getAttribute('rx') === '10' ?
      e.previousElementSibling.getBoundingClientRect() : null;
    return ground ? {said: e.textContent, l: ground.left, r: ground.right, t: ground.top, b: ground.bottom, e: e} :
      {said: e.textContent, l: r.left, r: r.right, t: base - 0.74 * size * scale, b: base + 0.2 * size * scale, e: e};
  });
  texts.forEach((a, i) => texts.slice(i + 1).forEach(b => {
    if (a.l + 1 < b.r && b.l + 1 < a.r && a.t + 1 < b.b && b.t + 1 < a.b) { found.push([a.said, b.said]); }
  }));
  let points = 0;
  document.querySelectorAll('svg .line, svg .thin, svg .chain, svg .strap').forEach(line => {
    const to = line.getScreenCTM(), long = line.getTotalLength();
    for (let at = 0; at <= long; at += 2 / to.a) {
      const p = line.getPointAtLength(at).matrixTransform(to);
      points += 1;
      const under = texts.find(t => p.x > t.l + 1.5 && p.x < t.r - 1.5 && p.y > t.t + 1.5 && p.y < t.b - 1.5);
      if (under) { found.push([under.said, line.getAttribute('class')]); break; }
    }
  });
  return [texts.length, points, found];
})()"""


@pytest.mark.parametrize("what", ["draw", "sheet"])
@pytest.mark.parametrize("name", FITTING)
def test_no_label_stands_over_another_or_over_a_line(browser: Any, tmp_path: Path, name: str, what: str):
    """As the letters of the browser make them, which are not those that the drawing reckoned with."""
    file = run(tmp_path, what, name, "plan.svg" if what == "draw" else "sheet.html")
    page = opened(browser, in_html(file) if what == "draw" else file, 760)
    texts, points, found = page.evaluate(CROSSED)
    assert texts > 10
    assert points > 100
    assert found == []
    page.close()
