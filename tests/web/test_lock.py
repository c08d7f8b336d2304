"""How often a PIN or a passphrase may be tried: from one address, from very many, and what that costs all others."""

from __future__ import annotations

import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("starlette")
pytest.importorskip("httpx")

sys.path.insert(0, str(Path(__file__).parent))

from web_house import HOST, house_of, outside

from seatplan.web import lock
from seatplan.web.lock import EACH_TOGETHER, FREE_TOGETHER, FREE_TRIES, LONGEST_WAIT, MOST_CLIENTS, Secret

WORD = "correct horse battery"
TABLET, GUESSER = "192.0.2.7", "192.0.2.66"


class Clock:
    now = 0.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def secret(clock: Clock) -> Secret:
    return Secret(WORD, clock)


#: the module as it is outside of tests, which have it cost less
COST = lock._N


def addresses() -> Any:
    return (f"2001:db8::{n:x}" for n in range(1, 10_000_000))


def test_one_address_waits_longer_each_time_up_to_the_longest_and_nobody_else_does(secret: Secret,
                                                                                   clock: Clock) -> None:
    waits = []
    for _ in range(40):
        clock.now += secret.wait(GUESSER)
        assert not secret.opens("wrong", GUESSER)
        waits.append(secret.wait(GUESSER))
    assert waits[:FREE_TRIES + 2] == [0, 0, 0, 0, 5, 10, 20]
    assert waits[-1] == LONGEST_WAIT
    assert not secret.opens(WORD, GUESSER)              # the right word, too, while it waits
    assert secret.wait(TABLET) == 0
    assert secret.opens(WORD, TABLET)


def test_the_wait_ends_and_the_right_word_forgives_what_was_wrong(secret: Secret, clock: Clock) -> None:
    for _ in range(FREE_TRIES):
        secret.opens("wrong", TABLET)
    assert secret.wait(TABLET) == 5
    clock.now += 5
    assert secret.opens(WORD, TABLET)
    for _ in range(FREE_TRIES - 1):
        assert not secret.opens("wrong", TABLET)
        assert secret.wait(TABLET) == 0


def test_who_never_stops_trying_from_one_address_is_answered_after_years_as_well(secret: Secret, clock: Clock) -> None:
    for _ in range(2000):
        clock.now += secret.wait(GUESSER)
        assert not secret.opens("wrong", GUESSER)
    assert secret.wait(GUESSER) == LONGEST_WAIT


def test_from_many_addresses_few_words_a_day_are_tried(secret: Secret, clock: Clock) -> None:
    tried = 0
    for address in addresses():
        if secret.wait(address):
            clock.now += 1
            if clock.now > 86_400:
                break
            continue
        secret.opens("wrong", address)
        tried += 1
    assert tried <= FREE_TOGETHER + 86_400 / EACH_TOGETHER
    assert tried > 8000                                  # and it was this limit that held


def test_who_came_in_before_comes_in_while_others_try_from_many_addresses(secret: Secret, clock: Clock) -> None:
    assert secret.opens(WORD, TABLET)
    for address, _ in zip(addresses(), range(3 * MOST_CLIENTS), strict=False):
        clock.now += secret.wait(address)
        secret.opens("wrong", address)
    new = "192.0.2.8"
    assert 0 < secret.wait(new) <= EACH_TOGETHER        # a new one waits for its turn, never for long
    assert secret.wait(TABLET) == 0
    assert not secret.opens("mistyped", TABLET)
    assert secret.opens(WORD, TABLET)
    clock.now += secret.wait(new)
    assert secret.opens(WORD, new)


def test_one_that_came_in_before_has_tries_of_its_own_and_no_more(secret: Secret) -> None:
    assert secret.opens(WORD, TABLET)
    for _ in range(FREE_TRIES):
        assert not secret.opens("wrong", TABLET)
    assert secret.wait(TABLET) == 5
    assert not secret.opens(WORD, TABLET)


def test_no_more_addresses_are_remembered_than_that(secret: Secret, clock: Clock) -> None:
    for address, _ in zip(addresses(), range(MOST_CLIENTS + 50), strict=False):
        clock.now += EACH_TOGETHER
        secret.opens(WORD, address)
    assert len(secret._clients) == MOST_CLIENTS


def test_the_addresses_of_this_machine_for_itself_are_one(secret: Secret) -> None:
    for n in range(FREE_TRIES):
        assert not secret.opens("wrong", f"127.0.0.{n + 1}")
    assert secret.wait("127.9.9.9") == secret.wait("::1") == 5


def test_a_try_takes_sixteen_megabytes_and_no_two_hashes_are_alike() -> None:
    assert 128 * COST * lock._R == 2**24                # RFC 7914, section 2
    assert Secret(WORD)._hash != Secret(WORD)._hash


def test_tries_at_the_same_moment_are_counted_each(monkeypatch: pytest.MonkeyPatch, clock: Clock) -> None:
    monkeypatch.setattr(lock, "_N", COST)               # so that they do meet
    secret = Secret(WORD, clock)
    asked: list[str] = []
    hashed = secret._of

    def counted(word: str) -> str:
        asked.append(word)
        return hashed(word)

    secret._of = counted  # type: ignore[method-assign]
    with ThreadPoolExecutor(20) as threads:
        assert not any(threads.map(lambda n: secret.opens(f"wrong {n}", GUESSER), range(20)))
    assert len(asked) == FREE_TRIES


def test_over_http_it_is_the_address_of_the_socket_that_waits_whatever_a_header_says(tmp_path: Path) -> None:
    house = house_of(tmp_path, secure=True, secret=Secret(WORD))
    here = f"https://{HOST}"
    with outside(house, here, client=(GUESSER, 40_000)) as guesser, outside(house, here, client=(TABLET, 1)) as tablet:
        for n in range(FREE_TRIES + 1):
            answer = guesser.post("/enter", data={"word": "wrong"}, headers={
                "x-forwarded-for": f"198.51.100.{n}", "forwarded": f"for=198.51.100.{n}"})
        assert (answer.status_code, "wait 5 seconds" in answer.text) == (429, True)
        assert guesser.get("/enter").status_code == 429
        assert tablet.get("/enter").status_code == 403  # locked, and nothing to wait for
        assert tablet.post("/enter", data={"word": WORD}, follow_redirects=False).status_code == 303
