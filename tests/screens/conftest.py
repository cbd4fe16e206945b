"""What every test of the pages may ask for: the pages themselves, with drafts of their own."""

import pytest
from streamlit.testing.v1 import AppTest

from planner.screens.data_folder import VARIABLE
from planner.screens.state import Workspace, _shelf

PLAN_WAIT_S = 50.0


@pytest.fixture
def page(repository, tmp_path_factory, monkeypatch):
    """The planner's pages, fresh; searches that a test leaves behind are ended."""
    monkeypatch.setenv(VARIABLE, str(tmp_path_factory.mktemp("drafts")))
    _shelf().found.clear()
    yield AppTest.from_file(str(repository / "app.py"), default_timeout=30).run()
    for work in _shelf().found.values():
        end_job(work)
    _shelf().found.clear()


def end_job(work: Workspace) -> None:
    job = work.job
    work.drop_job()
    assert job is None or job.wait(PLAN_WAIT_S)
