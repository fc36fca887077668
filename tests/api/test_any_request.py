"""Requests made up from the API's own description: whatever comes, an answer of the described shape, never a fault of
ours."""

import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from polewright.documents.files import document_of

ENDLESS = 3600.0  # [s] an answer comes when it comes; how busy the machine is says nothing
CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance]


@pytest.fixture
def description(ask, workshop, plain):
    workshop.designs.start(document_of(plain))
    return schemathesis.openapi.from_asgi("/openapi.json", ask.app, headers={"host": "127.0.0.1"})


@pytest.mark.slow
def test_any_request_gets_an_answer_of_the_described_shape(description):
    asked = 0
    for found in description.get_all_operations():
        operation = found.ok()

        @settings(
            max_examples=12, derandomize=True, deadline=None, database=None, suppress_health_check=list(HealthCheck)
        )
        def one(case):
            nonlocal asked
            asked += 1
            case.call_and_validate(checks=CHECKS, headers={"host": "127.0.0.1"}, timeout=ENDLESS)

        from hypothesis import given

        given(case=operation.as_strategy())(one)()
    assert asked > 100
