"""Files that the program writes: whole or not at all, and never over somebody else's."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable
from pathlib import Path

from .usage import Misuse


def check_target(path: str, ours: Callable[[str], bool], ending: str) -> None:
    """Whether a file may be written there. Raises Misuse: another ending than ``ending``, a folder, or a file that is
    not ``ours`` by its text."""
    file = Path(path)
    if file.suffix.lower() != ending:
        raise Misuse(f'-o is "{path}"', f"expected a file that ends in {ending}")
    if file.is_dir():
        raise Misuse(f"{path} is a folder", f"expected a file that ends in {ending}")
    try:
        if file.exists() and not ours(file.read_text(encoding="utf-8", errors="replace")):
            raise Misuse(f"{path} is there already and was not written by seatplan; nothing was changed",
                         "give another name, or move that file away")
    except OSError as error:
        raise Misuse(f"{path} cannot be read: {error.strerror}", "give another place") from None


def write_whole(path: str, text: str, ours: Callable[[str], bool], ending: str) -> None:
    """Write a file beside its place and move it there. Raises Misuse as ``check_target`` does, and where the place
    cannot be written to. Then nothing is changed."""
    check_target(path, ours, ending)
    file = Path(path)
    try:
        handle, beside = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.")
        try:
            with open(handle, "w", encoding="utf-8", newline="") as out:
                out.write(text)
            os.chmod(beside, 0o666 & ~_umask())
            os.replace(beside, file)
        except OSError:
            Path(beside).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise Misuse(f"{path} cannot be written: {error.strerror}", "give another place") from None


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
