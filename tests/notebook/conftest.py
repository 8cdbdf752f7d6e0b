"""An open notebook, closed after the test."""

import pytest

from tests.notebook.kitchen_book import opened


@pytest.fixture
def nb(tmp_path):
    with opened(tmp_path) as notebook:
        yield notebook
