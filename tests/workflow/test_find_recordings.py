"""The frames of a case's recordings: kept by what is in the files now, not by what a case says of them."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from annotator.model.case import Case
from annotator.store.fingerprint import fingerprint
from annotator.workflow.find_recordings import find_recordings
from tests.publish.numbered import case_of, recording

NAME = "model-eye.case.jsonld"


def saying(case: Case, content: str, **more: object) -> Case:
    return replace(case, recordings=(replace(case.recordings[0], fingerprint=content, **more),))


@pytest.mark.parametrize("content", ["", "some-later-scheme:5:abc"])
def test_cases_that_do_not_say_what_is_in_their_files_share_no_frames(tmp_path: Path, content: str) -> None:
    cache, found = tmp_path / "cache", []
    for name, rate in (("a", "25"), ("b", "30")):
        (tmp_path / name).mkdir()
        path = recording(tmp_path / name / "eye.mp4", 30, rate)
        case = saying(case_of(path), content)
        found.append(find_recordings(case, tmp_path / name / NAME, kept_in=cache))
    assert [one.frames.nearest(41) for one in found] == [40, 34]
    assert [one.located[0].state for one in found] == ["unknown", "unknown"]
    assert all("may be another than the one that was tagged" in one.warnings[0] for one in found)


@pytest.mark.parametrize(
    "said", [{"duration": 20_000}, {"width": 640, "height": 360}, {"frame_rate": 30}], ids=["length", "size", "rate"]
)
def test_what_does_not_fit_the_rest_that_the_case_says_is_another_recording(
    tmp_path: Path, said: dict[str, object]
) -> None:
    path = recording(tmp_path / "eye.mp4", 30, "25")
    found = find_recordings(saying(case_of(path), "", **said), tmp_path / NAME, kept_in=tmp_path / "cache")
    assert found.located[0].state == "changed"
    assert not found.frames.has(0)
    assert "has changed since it was tagged" in found.warnings[0]


def test_the_content_found_is_handed_on(tmp_path: Path) -> None:
    path = recording(tmp_path / "eye.mp4", 30, "25")
    found = find_recordings(case_of(path), tmp_path / NAME, kept_in=tmp_path / "cache")
    assert [(one.state, one.content) for one in found.located] == [("as left", fingerprint(path))]
    assert found.warnings == ()
