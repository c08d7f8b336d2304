"""Ids are hidden behind a secret that only its owner can read."""

from __future__ import annotations

import hashlib
import hmac
import os
import stat
import threading
from pathlib import Path

import pytest

from seatplan.files.errors import InputError, Unwritten
from seatplan.files.salt import key_of, salt_at


def test_it_is_made_once_for_its_owner_alone(tmp_path: Path) -> None:
    file = tmp_path / ".seatplan-salt"
    before = os.umask(0)
    try:
        salt = salt_at(str(file))
    finally:
        os.umask(before)
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert salt_at(str(file)) == salt
    assert os.listdir(tmp_path) == [".seatplan-salt"]
    assert salt_at(str(tmp_path / "other")) != salt
    assert len(salt) == 64


def test_a_key_is_an_hmac_and_spaces_make_no_other_id() -> None:
    salt = b"s" * 32
    assert key_of("K-17", salt) == hmac.new(salt, b"K-17", hashlib.sha256).hexdigest()[:32]
    assert key_of("  K   17 ", salt) == key_of("K 17", salt)
    assert key_of("K-17", b"t" * 32) != key_of("K-17", salt)


@pytest.mark.parametrize("mode", [0o640, 0o604, 0o644, 0o620])
def test_one_that_others_may_read_is_refused(tmp_path: Path, mode: int) -> None:
    file = tmp_path / "salt"
    file.write_bytes(b"x" * 32)
    file.chmod(mode)
    with pytest.raises(InputError, match="others may read this file"):
        salt_at(str(file))


def test_one_that_is_too_short_a_link_or_no_file_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "salt"
    file.write_bytes(b"short\n")
    file.chmod(0o600)
    with pytest.raises(InputError, match="5 bytes long; expected a salt of 16 to 4096"):
        salt_at(str(file))
    good = tmp_path / "good"
    salt_at(str(good))
    (tmp_path / "link").symlink_to(good)
    with pytest.raises(InputError, match="cannot be read"):
        salt_at(str(tmp_path / "link"))
    with pytest.raises(InputError, match="this is no file"):
        salt_at(str(tmp_path))
    os.mkfifo(tmp_path / "pipe", 0o600)
    with pytest.raises(InputError, match="this is no file"):
        salt_at(str(tmp_path / "pipe"))
    with pytest.raises(Unwritten, match="cannot be written"):
        salt_at(str(tmp_path / "nowhere" / "salt"))


def test_two_that_begin_at_once_have_one_salt(tmp_path: Path) -> None:
    found: list[bytes] = []
    start = threading.Barrier(8)

    def ask() -> None:
        start.wait()
        found.append(salt_at(str(tmp_path / "salt")))

    threads = [threading.Thread(target=ask) for _ in range(8)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert len(found) == 8
    assert len(set(found)) == 1
    assert os.listdir(tmp_path) == ["salt"]
