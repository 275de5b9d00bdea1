"""Nothing is skipped in silence: a test that cannot run is a test that failed.

Property tests draw the same cases on every run, so that one tree has one verdict. To look for new
cases: python -m pytest --hypothesis-profile=seek
"""

from collections.abc import Generator
from typing import Any

import pytest
from hypothesis import settings

settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("seek", max_examples=400, deadline=None)
settings.load_profile("steady")


@pytest.fixture(scope="session", autouse=True)
def nothing_kept_from_before(tmp_path_factory: pytest.TempPathFactory) -> Generator[None]:
    """Kept work of an earlier run must not answer for the code under test."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("LATTERMATH_CACHE", str(tmp_path_factory.mktemp("kept")))
        yield


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
