"""The pages of the day say nothing in English to whoever asks for Spanish."""

from __future__ import annotations

import re

import pytest

pytest.importorskip("starlette")
pytest.importorskip("httpx")

from day_browser import with_trip

#: English words that no Spanish text has
ENGLISH = re.compile(r"\b(the|family|holds|belt|seat|kept|delete|next|begin|noted|needed)\b", re.IGNORECASE)
#: what is a name, an address or our own mark
_NO_TEXT = re.compile(r"<svg.*?</svg>|<[^>]*>", re.DOTALL)


@pytest.mark.parametrize("path", ["/day", "/day/trip-1", "/day/trip-1/at/2", "/day/trip-1/checkup",
                                  "/day/trip-1/delete"])
def test_no_english(tmp_path, path):
    browser = with_trip(tmp_path)
    browser.client.cookies.set("seatplan-manner", "es-metric")
    text = _NO_TEXT.sub(" ", browser.get(path).partition("<main")[2].partition("</main>")[0])
    assert browser.status == 200
    assert not ENGLISH.findall(text), text
