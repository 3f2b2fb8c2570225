"""Every test of layouts works in a folder of its own, so messages name the file alone."""

from __future__ import annotations

import pytest


@pytest.fixture(autouse=True)
def _own_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
