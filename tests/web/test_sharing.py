"""A server on the network: its certificate and key, its fingerprint, its passphrase, the code to scan."""

from __future__ import annotations

import hashlib
import os
import ssl
import sys
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from pathlib import Path

import pytest

pytest.importorskip("starlette")
pytest.importorskip("cryptography")

from cryptography import x509

from seatplan.app.errors import InputError, Unwritten
from seatplan.web.rights import others_can_read
from seatplan.web.share import (
    SHORTEST,
    address_of,
    certificate_for,
    code_to_scan,
    host_of,
    made_passphrase,
)

HERE = ip_address("192.0.2.20")
posix = pytest.mark.skipif(os.name != "posix", reason="rights as POSIX has them")


@pytest.fixture(autouse=True)
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path / "state"))
    return tmp_path / "state" / "seatplan"


@pytest.fixture
def library(tmp_path: Path) -> Path:
    (tmp_path / "library").mkdir()
    return tmp_path / "library"


def test_the_certificate_is_of_the_address_and_its_fingerprint_is_what_a_browser_shows(library: Path) -> None:
    made = certificate_for(HERE, library)
    found = x509.load_pem_x509_certificate(made.certificate.read_bytes())
    names = found.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert names.get_values_for_type(x509.IPAddress) == [HERE]
    der = ssl.PEM_cert_to_DER_cert(made.certificate.read_text())
    digest = hashlib.sha256(der).hexdigest().upper()
    assert made.fingerprint.replace(":", "") == digest
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(made.certificate, made.key)


@posix
def test_only_the_owner_can_read_key_and_certificate_and_neither_lies_in_the_library(
        library: Path, state: Path) -> None:
    made = certificate_for(HERE, library)
    for path in (made.key, made.certificate):
        assert path.stat().st_mode & 0o777 == 0o600
    assert state.stat().st_mode & 0o777 == 0o700
    assert list(library.iterdir()) == []


def test_the_same_is_used_again_until_it_ends_or_its_key_was_open_to_others(library: Path) -> None:
    first = certificate_for(HERE, library)
    assert certificate_for(HERE, library) == first
    later = datetime.now(UTC) + timedelta(days=360)
    anew = certificate_for(HERE, library, lambda: later)
    assert anew.fingerprint != first.fingerprint
    if os.name == "posix":
        anew.key.chmod(0o644)
        other = certificate_for(HERE, library, lambda: later)
        assert other.fingerprint != anew.fingerprint
        assert other.key.stat().st_mode & 0o777 == 0o600
    anew.certificate.write_text("no certificate")
    assert certificate_for(HERE, library).fingerprint != anew.fingerprint


@posix
def test_a_link_in_place_of_the_key_is_not_written_through(library: Path, state: Path) -> None:
    made = certificate_for(HERE, library)
    aim = library / "aim"
    aim.write_text("mine")
    made.key.unlink()
    made.key.symlink_to(aim)
    certificate_for(HERE, library)
    assert aim.read_text() == "mine"
    assert not made.key.is_symlink()


def test_a_key_never_comes_to_lie_in_the_library(tmp_path: Path, state: Path) -> None:
    with pytest.raises(InputError):
        certificate_for(HERE, tmp_path)
    assert not state.exists()


def test_where_no_key_can_be_kept_is_told(library: Path, state: Path) -> None:
    state.parent.write_text("a file where the folder should be")
    with pytest.raises(Unwritten):
        certificate_for(HERE, library)


@pytest.mark.parametrize("asked", ["0.0.0.0", "127.0.0.1", "::", "::1", "224.0.0.1", "example", "192.0.2.20:80",
                                   "300.1.1.1"])
def test_an_address_that_nobody_reaches_is_refused(asked: str) -> None:
    with pytest.raises(InputError):
        address_of(asked)


def test_addresses_stand_in_urls_as_they_must() -> None:
    assert host_of(address_of("192.0.2.20"), 8431) == "192.0.2.20:8431"
    assert host_of(address_of("2001:db8::2"), 8431) == "[2001:db8::2]:8431"


def test_passphrases_are_long_and_never_the_same() -> None:
    made = {made_passphrase() for _ in range(500)}
    assert len(made) == 500
    assert all(len(one) >= SHORTEST and one.isascii() and one.islower() for one in made)


def test_the_code_holds_the_address_alone() -> None:
    segno = pytest.importorskip("segno")
    url = "https://192.0.2.20:8431/"
    drawn = code_to_scan(url).splitlines()
    assert len({len(line) for line in drawn}) == 1
    assert len(drawn[0]) < 60
    cells = {"\u2588": (0, 0), "\u2580": (0, 1), "\u2584": (1, 0), " ": (1, 1)}
    rows = [[cells[letter][half] for letter in line] for line in drawn for half in (0, 1)]
    wanted = [list(row) for row in segno.make(url, micro=False).matrix_iter(border=4)]
    assert rows[:len(wanted)] == wanted


@posix
def test_a_library_that_others_can_read_is_told(library: Path) -> None:
    for mode, told in ((0o700, False), (0o750, True), (0o701, True), (0o755, True)):
        library.chmod(mode)
        assert others_can_read(library) is told


@posix
def test_the_command_says_all_of_it_and_writes_files_for_its_owner_alone(
        library: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    sys.path.insert(0, str(Path(__file__).parent))
    from running import seatplan

    from seatplan.web import serving

    running = []
    monkeypatch.setattr(serving, "run", running.append)
    monkeypatch.setattr(serving, "listening", lambda host, port: _Sock())
    before = os.umask(0o022)
    try:
        library.chmod(0o755)
        said = seatplan("serve", "--library", str(library), "--port", "0", "--share", "192.0.2.20")
        assert os.umask(0o022) == 0o077
    finally:
        os.umask(before)
    assert said.code == 0
    assert "https://192.0.2.20:8431/" in said.out
    assert "chmod 700" in said.err
    word = next(line.removeprefix("passphrase: ") for line in said.out.splitlines() if line.startswith("passphrase"))
    assert len(word) >= SHORTEST
    assert said.out.count(word) == 1
    [[(own, _, plain), (other, _, tls)]] = running
    assert (own.secure, plain) == (False, (None, None))
    assert (other.secure, other.hosts, other.secret.opens(word, "192.0.2.9")) == (True, ("192.0.2.20:8431",), True)
    assert own.doors is not other.doors
    assert str(library) not in str(tls)
    refused = seatplan("serve", "--library", str(library), "--share", "0.0.0.0")
    assert refused.code == 2
    assert "--share" in refused.err or "0.0.0.0" in refused.err


class _Sock:
    def getsockname(self) -> tuple[str, int]:
        return "127.0.0.1", 8431
