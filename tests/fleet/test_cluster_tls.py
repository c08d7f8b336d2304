"""A cluster over TLS, on this machine: a match goes through it, and who shows the wrong certificate is refused."""

from __future__ import annotations

import importlib.util
import socket
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from pathlib import Path

import pytest

if any(importlib.util.find_spec(name) is None for name in ("distributed", "cryptography")):
    pytest.skip("the extra `cluster` and cryptography are not installed", allow_module_level=True)

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID
from small_fleet import small_world, some_classes

from seatplan.cli.main import exit_code
from seatplan.files.errors import InputError
from seatplan.fleet.batches import Here
from seatplan.fleet.cluster import Address, _of_certificates, cluster
from seatplan.fleet.kept import Kept
from seatplan.fleet.matching import Matching, worker


class Authority:
    """A certificate authority in a folder, and certificates that it signs."""

    def __init__(self, folder: Path, name: str) -> None:
        self.folder, self.name = folder / name, name
        self.folder.mkdir()
        self.key = ec.generate_private_key(ec.SECP256R1())
        self.own = self.signed(self.key, name, True)
        self.file = self.folder / "ca.pem"
        self.file.write_bytes(self.own.public_bytes(serialization.Encoding.PEM))

    def signed(self, key: ec.EllipticCurvePrivateKey, name: str, authority: bool) -> x509.Certificate:
        issuer = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, self.name)])
        now = datetime.now(UTC)
        return (x509.CertificateBuilder().subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)]))
                .issuer_name(issuer).public_key(key.public_key()).serial_number(x509.random_serial_number())
                .not_valid_before(now - timedelta(hours=1)).not_valid_after(now + timedelta(days=1))
                .add_extension(x509.BasicConstraints(ca=authority, path_length=None), critical=True)
                .add_extension(x509.SubjectAlternativeName([x509.IPAddress(ip_address("127.0.0.1"))]), critical=False)
                .sign(self.key, hashes.SHA256()))

    def pair(self, name: str) -> tuple[Path, Path]:
        """The files of a certificate and its key."""
        key = ec.generate_private_key(ec.SECP256R1())
        certificate, private = self.folder / f"{name}.pem", self.folder / f"{name}.key"
        certificate.write_bytes(self.signed(key, name, False).public_bytes(serialization.Encoding.PEM))
        private.write_bytes(key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8,
                                              serialization.NoEncryption()))
        return certificate, private

    def shown(self, address: str) -> Address:
        """What a client of this authority brings."""
        certificate, private = self.pair("client")
        return Address(address, self.file, certificate, private)


@pytest.fixture(scope="module")
def ours(tmp_path_factory: pytest.TempPathFactory) -> Authority:
    return Authority(tmp_path_factory.mktemp("certificates"), "ours")


@pytest.fixture(scope="module")
def theirs(tmp_path_factory: pytest.TempPathFactory) -> Authority:
    return Authority(tmp_path_factory.mktemp("certificates"), "theirs")


@pytest.fixture(scope="module")
def address(ours: Authority, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A scheduler and a worker, each a program of its own."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    where, folder = f"tls://127.0.0.1:{port}", tmp_path_factory.mktemp("cluster")
    certificate, private = ours.pair("cluster")
    shown = ["--tls-ca-file", str(ours.file), "--tls-cert", str(certificate), "--tls-key", str(private)]
    path = f"import sys; sys.path.insert(0, {str(Path(__file__).parent)!r}); from distributed.cli import "
    programs = [
        [f"{path}dask_scheduler as one; one.main()", "--host", where, "--no-dashboard"],
        [f"{path}dask_worker as one; one.main()", where, "--host", "tls://127.0.0.1", "--nthreads", "1", "--no-nanny",
         "--no-dashboard", "--local-directory", str(folder)]]
    running = [subprocess.Popen([sys.executable, "-c", *words, *shown], cwd=folder, stdout=subprocess.DEVNULL,
                                stderr=subprocess.DEVNULL) for words in programs]
    try:
        yield where
    finally:
        for one in reversed(running):
            one.terminate()
        for one in running:
            try:
                one.wait(10)
            except subprocess.TimeoutExpired:
                one.kill()
                one.wait()


def test_a_match_goes_through_it(ours: Authority, address: str, tmp_path: Path):
    import distributed

    shown = ours.shown(address)
    security = distributed.Security(tls_ca_file=str(shown.authority), tls_client_cert=str(shown.certificate),
                                    tls_client_key=str(shown.key), require_encryption=True)
    with distributed.Client(address, security=security, timeout=60, set_as_default=False) as client:
        client.wait_for_workers(1, timeout=60)
    world, classes = small_world(), some_classes(4)
    with Kept(tmp_path / "there") as kept, cluster(shown, worker, world, 60) as hands:
        there = dict(Matching(world, kept, hands, "1").answers(classes))
    with Kept(tmp_path / "here") as kept:
        assert there == dict(Matching(world, kept, Here(worker, world), "1").answers(classes))
    assert len(there) == 4


def test_a_client_of_another_authority_is_refused(theirs: Authority, ours: Authority, address: str):
    """Whichever side does not know the other."""
    stranger = theirs.shown(address)
    knows_us = Address(address, ours.file, stranger.certificate, stranger.key)
    for shown in (stranger, knows_us):
        with pytest.raises(InputError) as refused, cluster(shown, worker, small_world(), 5):
            pass
        [problem] = refused.value.problems
        assert problem.path == "--cluster"
        assert address in problem.text
        assert "does not take our certificate, or shows one that ours does not take" in problem.text


def test_the_command_says_so_with_code_2(theirs: Authority, address: str, tmp_path: Path,
                                         capsys: pytest.CaptureFixture[str]):
    city, shown = tmp_path / "city", theirs.shown(address)
    assert exit_code(["fleet", "city", "--bookings", "3", "-o", str(city)]) == 0
    capsys.readouterr()
    code = exit_code(["fleet", "match", str(city / "fleet.yaml"), str(city / "bookings.csv"), "--cluster", address,
                      "--cluster-ca", str(shown.authority), "--cluster-cert", str(shown.certificate),
                      "--cluster-key", str(shown.key)])
    told = capsys.readouterr()
    assert code == 2
    assert "--cluster" in told.err + told.out
    assert "does not take our certificate, or shows one" in " ".join((told.err + told.out).split())
    assert "Traceback" not in told.err


@pytest.mark.parametrize(("wrong", "of_certificates"), [
    (OSError("Timed out ... last: [SSL: TLSV1_ALERT_UNKNOWN_CA] tlsv1 alert unknown ca (_ssl.c:2580)"), True),
    (OSError("Timed out trying to connect after 5 s"), False),
])
def test_an_error_that_is_handed_on_in_words_alone(wrong: OSError, of_certificates: bool):
    assert _of_certificates(wrong) is of_certificates
