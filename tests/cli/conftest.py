"""The sample logbook once for all commands, and a way to call them."""

from __future__ import annotations

import shutil

import pytest
from click.testing import CliRunner

from kilnlog.cli import main
from kilnlog.logbook.demo import fresh_sample


@pytest.fixture(scope="session")
def built(tmp_path_factory):
    return fresh_sample(tmp_path_factory.mktemp("sample"))


@pytest.fixture
def sample(built, tmp_path):
    copy = tmp_path / "mill.kilnlog"
    shutil.copy(built, copy)
    return copy


@pytest.fixture
def kilnlog():
    def call(*arguments):
        return CliRunner().invoke(main, [str(argument) for argument in arguments])

    return call
