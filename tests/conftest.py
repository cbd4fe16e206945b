"""What every test may ask for."""

from pathlib import Path

import pytest
from hypothesis import settings

REPOSITORY = Path(__file__).resolve().parents[1]

# The same examples on every run; `--hypothesis-profile=explore` looks for new ones.
settings.register_profile("fixed", deadline=None, derandomize=True)
settings.register_profile("explore", deadline=None, max_examples=1000, print_blob=True)
settings.load_profile("fixed")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--update-golden",
        action="store_true",
        help="write the golden files anew; read the difference before it is committed",
    )


@pytest.fixture
def update_golden(request: pytest.FixtureRequest) -> bool:
    """Whether golden files are to be written instead of compared."""
    return bool(request.config.getoption("--update-golden"))


@pytest.fixture(scope="session")
def repository() -> Path:
    """The folder of the clone."""
    return REPOSITORY


@pytest.fixture(scope="session")
def shared_reference() -> Path:
    """The folder of published figures that may lie beside the clone."""
    folder = REPOSITORY.parent / "shared" / "reference"
    if not folder.is_dir():
        pytest.skip("the published figures (../shared/reference) are not beside this clone")
    return folder
