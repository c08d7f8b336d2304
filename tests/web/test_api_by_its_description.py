"""What the description of the API promises, held against what comes of requests made of it (schemathesis)."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("starlette")
pytest.importorskip("httpx")
schemathesis = pytest.importorskip("schemathesis")

sys.path.insert(0, str(Path(__file__).parent))

from hypothesis import HealthCheck, Phase, given, seed, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)
from web_house import house_of, inside

from seatplan.files.library import find
from seatplan.web.api.openapi import description
from seatplan.web.api.table import OPERATIONS

CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance, response_headers_conformance,
          response_schema_conformance]
#: those that are worked out in a process of their own take too long to be asked so often
ASKED = [(f"/api/{one.path}", "POST") for one in OPERATIONS if not one.long] + [
    ("/api/files", "GET"), ("/api/files", "POST"), ("/api/files/{number}", "GET"), ("/api/files/{number}", "PUT"),
    ("/api/files/{number}", "DELETE"), ("/api/openapi.json", "GET")]


@pytest.fixture
def client(tmp_path: Path) -> Iterator[Any]:
    for number in ("trip-1", "trip-2"):
        shutil.copy(find("trip", "two-children-one-tether"), tmp_path / f"{number}.yaml")
    house = house_of(tmp_path)
    with inside(house) as client:
        yield client


def _held_to(path: str, method: str, client: Any, examples: int) -> None:
    operation = schemathesis.openapi.from_dict(description())[path][method]

    @seed(20)
    @settings(max_examples=examples, deadline=None, database=None, phases=[Phase.generate],
              suppress_health_check=list(HealthCheck))
    @given(case=operation.as_strategy())
    def holds(case: Any) -> None:
        headers = {name: value for name, value in (case.headers or {}).items() if value.isascii()}
        more = {} if not isinstance(case.body, (dict, list, str, int, float, bool)) else {"json": case.body}
        answer = client.request(method, case.formatted_path, headers=headers, **more)
        case.validate_response(schemathesis.Response.from_any(answer), checks=CHECKS)

    holds()


@pytest.mark.parametrize(("path", "method"), ASKED)
def test_each_answer_is_one_that_the_description_has(path: str, method: str, client: Any) -> None:
    _held_to(path, method, client, 5)


@pytest.mark.whole
@pytest.mark.parametrize(("path", "method"), ASKED)
def test_each_of_many_answers_is_one_that_the_description_has(path: str, method: str, client: Any) -> None:
    _held_to(path, method, client, 60)
