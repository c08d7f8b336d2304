"""What people write and type: names, and words that are shown as they are, but never act on whoever reads them."""

from __future__ import annotations

import shlex
import unicodedata

from .message import Name, said

#: what a name that people read is
NAME = said("expected a name of 1 to 60 characters")


#: controls, marks that change the direction of writing or join letters, halves of pairs, breaks of lines
_UNSEEN = ("Cc", "Cf", "Cs", "Cn", "Co", "Zl", "Zp")


def visible(text: str) -> str:
    """A text on one line in which whatever acts on a terminal, or hides, is written out: ``\\x1b``, ``\\n``."""
    return text if text.isprintable() else "".join(map(_written_out, text))


def _written_out(letter: str) -> str:
    if unicodedata.category(letter) not in _UNSEEN:
        return letter
    if "\udc80" <= letter <= "\udcff":                        # a byte of a file name that is no text
        return f"\\x{ord(letter) - 0xdc00:02x}"
    return letter.encode("unicode_escape").decode()


def quoted(word: str) -> str:
    """A word as a shell takes it, fit to be shown."""
    if word.isprintable():
        # within double quotes a name such as Bo's seat stays readable
        return f'"{word}"' if "'" in word and not set(word) & set('"$`\\!') else shlex.quote(word)
    return "$'" + visible(word.replace("\\", "\\\\").replace("'", "\\'")) + "'"


def word_of(value: object) -> str:
    """The text of a name; a bare number is a name too. Empty for anything else."""
    return str(value) if isinstance(value, (str, int)) and not isinstance(value, bool) else ""


def as_name(value: object) -> Name | None:
    """A name that people read, wherever it is written: on one line, and nothing in it that cannot be seen. None where
    the value is no such name."""
    text = " ".join(word_of(value).split())
    return Name(text) if 0 < len(text) <= 60 and text.isprintable() else None
