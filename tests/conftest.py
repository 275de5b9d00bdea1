"""Nothing is skipped in silence: a test that cannot run is a test that failed."""

from collections.abc import Generator
from typing import Any

import pytest


def _refuse(report: Any) -> None:
    if report.skipped and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"skipped, and nothing here may be skipped: {report.longrepr}"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, Any, Any]:
    report = yield
    _refuse(report)
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report() -> Generator[None, Any, Any]:
    report = yield
    _refuse(report)
    return report
