"""What is made ahead of a save is not made again by it."""

import pytest
from msgspec.structs import replace
from pytestqt.qtbot import QtBot

from annotator.desktop.editing.text_ahead import TextAhead
from annotator.formats.case import casefile
from annotator.model import tag_list
from tests.formats.example_case import CASE


def test_the_first_save_makes_no_text_that_is_there(monkeypatch: pytest.MonkeyPatch, qtbot: QtBot) -> None:
    monkeypatch.setattr(tag_list, "MOST", 2)
    case, other = (replace(CASE, tags=tag_list.tag_list(list(CASE.tags))) for _ in range(2))  # no block in common
    written = casefile.dumps(other, 1)
    ahead = TextAhead(case)
    ahead.start()
    qtbot.waitUntil(lambda: ahead.is_done)
    monkeypatch.setattr(casefile, "to_annotation", None)
    assert casefile.dumps(case, 1) == written
