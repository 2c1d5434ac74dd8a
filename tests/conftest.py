"""What every test needs: a flush the guards let through, quick passwords, no silent skip,
examples without a deadline."""

import os
from collections.abc import Generator

import pytest
from django.conf import settings
from django.db import connection, connections
from django.test import TransactionTestCase
from hypothesis import settings as examples

from ledger.guards import lift

# Argon2 is slow on purpose; tests make many people and none of them is worth protecting.
settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
# A first example may load the registry of units, and the machine may be busy.
examples.register_profile("book", deadline=None)
examples.load_profile("book")

_flush = TransactionTestCase._fixture_teardown


def _lift_then_flush(case: TransactionTestCase) -> None:
    # The guards refuse the flush as they refuse any deletion; its own post_migrate signal
    # installs them again for the next test.
    for alias in case._databases_names(include_mirrors=False):
        lift(connections[alias])
    _flush(case)


TransactionTestCase._fixture_teardown = _lift_then_flush


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out the tests that belong to the other database."""
    other = "postgresql_only" if connection.vendor == "sqlite" else "sqlite_only"
    apart = [item for item in items if item.get_closest_marker(other)]
    if apart:
        config.hook.pytest_deselected(items=apart)
        items[:] = [item for item in items if item not in apart]


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """In CI nothing is skipped: a skip counts as a failure that tells its reason."""
    report = yield
    if os.environ.get("CI") and report.skipped and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"skipped in CI: {report.longrepr}"
    return report
