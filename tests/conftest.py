"""For every test: no screen, no settings or state of the user's, and a clean desk afterwards."""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

settings.register_profile("ci", deadline=None, derandomize=True)
settings.load_profile("ci")


def pytest_collection_finish() -> None:
    """Keep what all tests share out of the search for garbage, which follows every test of the window."""
    from rigcore.catalogue.loader import shipped

    shipped()
    gc.collect()
    gc.freeze()


@pytest.fixture(autouse=True)
def nothing_of_the_user(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> Iterator[None]:
    """Keep settings and state in a folder of the test's own, and throw away what Qt still holds after it."""
    if not {"qapp", "qtbot"} & set(request.fixturenames):
        yield
        return
    from PySide6.QtCore import QCoreApplication, QEvent, QSettings

    home = tmp_path_factory.mktemp("home")
    monkeypatch.setenv("XDG_STATE_HOME", str(home / "state"))
    QSettings.setDefaultFormat(QSettings.Format.IniFormat)
    for scope in (QSettings.Scope.UserScope, QSettings.Scope.SystemScope):
        QSettings.setPath(QSettings.Format.IniFormat, scope, str(home))
    yield
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    gc.collect()


@pytest.fixture(scope="session")
def samples_folder() -> Path:
    """The folder of the shipped sample books."""
    from rigcore import resources

    return resources.samples()
