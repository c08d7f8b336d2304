"""seatplan serve"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from seatplan.message import Name
from seatplan.views.say import t
from seatplan.written import quoted

from .asking import Asking
from .usage import Misuse

if TYPE_CHECKING:
    from seatplan.web.serving import Running, Shared


@click.command("serve", cls=Asking, short_help="The whole job in a browser, from a folder of files.")
@click.option("--library", metavar="DIR", default=".", show_default=True,
              help="The folder whose vehicle, restraint and trip files are shown and written.")
@click.option("--port", type=click.IntRange(0, 65535), default=8431, show_default=True,
              help="Where it listens on this machine; 0 takes a free one.")
@click.option("--open", "open_it", is_flag=True, help="Open a browser, too.")
@click.option("--share", metavar="[ADDRESS]", is_flag=False, flag_value="",
              help="For a tablet on the same network, too, behind a passphrase; ADDRESS: at this one of this machine.")
def command(library: str, port: int, open_it: bool, share: str | None) -> int:
    """Serve the folder DIR to a browser on this machine: the car with its seats drawn, children, restraints, the
    answer beside them all the time, sheets and checkups.

    What is shown and written there are the files that every other command reads. Nothing leaves this machine. The link
    that is printed opens once, for one browser; Enter prints another one, Ctrl-C stops it.

    For others on the network --share asks for a passphrase and says an address, with the fingerprint of its
    certificate: compare it with what the tablet shows before anybody types the passphrase there.

    \b
      seatplan serve --open
      seatplan serve --library ~/trips --port 0
      seatplan serve --library ~/trips --share

    It needs the extra: `pip install 'seatplan[web]'`. Exit codes: 0 stopped, 2 bad input, 74 the port cannot be had.
    """
    try:
        from seatplan.web.serving import serve_here
    except ModuleNotFoundError as error:
        raise _not_installed(error) from None
    folder = Path(library)
    if not folder.is_dir():
        raise Misuse(t("--library is {library}, which is no folder", library=Name(library)),
                     t("make it first, or leave --library out to serve this folder"), library, field="--library")
    _warn_of_readers(folder)
    shared = None if share is None else _shared(share, folder)
    serve_here(folder.resolve(), port, open_it, lambda running: _told(running, shared), shared)
    return 0


def _not_installed(error: ModuleNotFoundError) -> Exception:
    """What to say where a package of the extra is not there; a module of ours that is not is a bug."""
    if error.name is None or error.name.partition(".")[0] == "seatplan":
        return error
    return Misuse(t("`seatplan serve` needs {package}, which is not installed", package=Name(error.name)),
                  t("`pip install 'seatplan[web]'` installs what it needs"))


def _shared(asked: str, folder: Path) -> Shared:
    """What the network needs, once somebody has said a passphrase."""
    from seatplan.web.serving import Shared

    try:
        from seatplan.web.share import address_of, certificate_for
    except ModuleNotFoundError as error:
        raise _not_installed(error) from None
    address = address_of(asked)
    certificate = certificate_for(address, folder)
    return Shared(address, _passphrase(), certificate)


def _passphrase() -> str:
    """As somebody types it, twice; or one that is made, and printed this once."""
    from seatplan.web.share import SHORTEST, made_passphrase

    while sys.stdin is not None and sys.stdin.isatty():
        word: str = click.prompt(t("passphrase for the network, or Enter for one that is made"), default="",
                                 show_default=False, hide_input=True)
        if not word:
            break
        if len(word.strip()) < SHORTEST:
            print(t("that is too short: expected at least {n} letters", n=SHORTEST), file=sys.stderr)
        elif word == click.prompt(t("once more"), default="", show_default=False, hide_input=True):
            return word
        else:
            print(t("the two are not the same"), file=sys.stderr)
    made = made_passphrase()
    print(t("passphrase: {word}", word=Name(made)))
    return made


def _warn_of_readers(folder: Path) -> None:
    from seatplan.web.rights import others_can_read

    if others_can_read(folder):
        print(t("warning: others on this machine can look into {folder}; `chmod 700 {quoted}` keeps them out",
                folder=Name(str(folder)), quoted=Name(quoted(str(folder)))), file=sys.stderr)


def _told(running: Running, shared: Shared | None) -> None:
    from seatplan.views.caution import CAUTION

    print(t("open {link}", link=Name(running.link)))
    print(t("It opens once. Enter prints another link, Ctrl-C stops."))
    if running.shared and shared is not None:
        _told_to_all(running.shared, shared)
    sys.stdout.flush()
    if not _SAID:
        _SAID.append(True)
        print(t("caution: {CAUTION}", CAUTION=CAUTION), file=sys.stderr)


def _told_to_all(address: str, shared: Shared) -> None:
    """The address for the network, the same to scan, and what shows that it is this machine."""
    from seatplan.web.share import code_to_scan

    print(t("for others on the network: {address}", address=Name(address)))
    print(t("SHA-256 fingerprint of its certificate; compare it with what the browser there shows:"))
    half = len(shared.certificate.fingerprint) // 2
    print(f"  {shared.certificate.fingerprint[:half + 1]}\n  {shared.certificate.fingerprint[half + 1:]}")
    if (getattr(sys.stdout, "encoding", None) or "").lower().replace("-", "").startswith("utf"):
        print(code_to_scan(address), end="")


_SAID: list[bool] = []
