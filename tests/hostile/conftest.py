"""What the hostile tests share: one small process that the calls are children of."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from kit_calls import Caller, one_caller


@pytest.fixture(scope="session")
def call() -> Iterator[Caller]:
    """The command, under hard limits."""
    yield from one_caller()
