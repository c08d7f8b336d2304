"""The catalogues: complete, with the same fields as the English text, and compiled as they stand."""

from __future__ import annotations

import re

import pytest

babel = pytest.importorskip("babel", reason="extra i18n")

from babel.messages.catalog import Catalog  # noqa: E402
from babel.messages.mofile import read_mo  # noqa: E402
from babel.messages.pofile import read_po  # noqa: E402
from collect import messages, path_of  # noqa: E402

from seatplan.views.manner import LANGUAGES  # noqa: E402

OTHERS = pytest.mark.parametrize("lang", [lang for lang in LANGUAGES if lang != "en"])


def read(lang: str) -> Catalog:
    with path_of(lang).open("rb") as stream:
        return read_po(stream, locale=lang)


def _first(text: str | tuple[str, ...]) -> str:
    """The key of a text: one that also has a plural is kept once."""
    return text if isinstance(text, str) else text[0]


def fields(text: str) -> list[str]:
    return sorted(set(re.findall(r"\{[^{}]*\}", text.replace("{{", "").replace("}}", ""))))


@OTHERS
def test_every_text_is_translated_and_none_is_left_over(lang: str):
    known = {message.id if isinstance(message.id, str) else tuple(message.id): message
             for message in read(lang) if message.id}
    assert {_first(text) for text in known} == {_first(text) for text in messages()}, (
        "python tests/language/collect.py brings it up to date"
    )
    strings = [(text, message.string) for text, message in known.items()]
    assert [text for text, string in strings if not all([string] if isinstance(string, str) else string)] == []
    assert [text for text, message in known.items() if message.fuzzy] == []


@OTHERS
def test_translations_have_the_fields_of_the_text(lang: str):
    for message in read(lang):
        if not message.id:
            continue
        texts = [message.id] if isinstance(message.id, str) else list(message.id)
        strings = [message.string] if isinstance(message.string, str) else list(message.string)
        for text, string in zip(texts, strings, strict=True):
            assert fields(text) == fields(string), text
            assert (text[:1].isspace(), text[-1:].isspace()) == (string[:1].isspace(), string[-1:].isspace()), text


@OTHERS
def test_compiled_catalogue_is_that_of_the_text(lang: str):
    with path_of(lang).with_suffix(".mo").open("rb") as stream:
        compiled = read_mo(stream)
    text = read(lang)
    assert compiled.plural_forms == text.plural_forms
    assert texts(compiled) == texts(text)


def texts(catalog: Catalog) -> dict[str, list[str]]:
    """Every translation, by its text; not the header, which names the version of babel."""
    return {_first(message.id): [message.string] if isinstance(message.string, str) else list(message.string)
            for message in catalog if message.id}
