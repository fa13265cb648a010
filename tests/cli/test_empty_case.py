"""A case that says of its recording that it has no length, as a stranger's may: every verb has an answer."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Annotate


@pytest.fixture
def empty(annotate: Annotate, case: Path, tmp_path: Path) -> Path:
    rows = tmp_path / "steps.csv"
    rows.write_text("start,end,step,place\n1,9,air,4-6 mid-periphery\n9,19,gas,\n4,,bleeding,\n", encoding="utf-8")
    assert annotate("tags", case, "--add", rows).status == 0
    document = json.loads(case.read_text(encoding="utf-8"))
    document["recordings"][0]["durationMs"] = 0
    case.write_text(json.dumps(document), encoding="utf-8")
    return case


def test_what_lies_outside_is_found(annotate: Annotate, empty: Path) -> None:
    found = annotate("check", empty)
    assert found.status == 1
    assert found.out.count("lies outside the recording, which ends at 00:00:00.000") == 3
    assert "takes" not in found.out, "of no length there is no share"


@pytest.mark.parametrize("form", ["table", "csv", "json", "html", "xlsx"])
@pytest.mark.parametrize("by", [(), ("--by", "place"), ("--by", "performer")], ids=["", "by place", "by performer"])
def test_durations_are_nothing(annotate: Annotate, empty: Path, tmp_path: Path, form: str, by: tuple[str, ...]) -> None:
    out = tmp_path / f"durations.{'txt' if form == 'table' else form}"
    told = annotate("durations", empty, "--format", form, *by, "--out", out)
    assert told.status == 0, told.err
    assert "lies outside the recording" in told.err
    assert out.stat().st_size > 0


def test_nothing_is_published_of_it_without_a_sentence(annotate: Annotate, empty: Path, tmp_path: Path) -> None:
    for verb, name in (("chapters", "out.vtt"), ("embed", "out.mp4"), ("clips", "clips"), ("share", "share")):
        told = annotate(verb, empty, "--out", tmp_path / name)
        assert told.status in (0, 2)
        assert told.err


@pytest.mark.parametrize("length", [-1, 1.5, "60", 10**18, 10**30])
def test_an_absurd_length_is_refused(annotate: Annotate, empty: Path, length: object) -> None:
    document = json.loads(empty.read_text(encoding="utf-8"))
    document["recordings"][0]["durationMs"] = length
    empty.write_text(json.dumps(document), encoding="utf-8")
    told = annotate("check", empty)
    assert told.status == 2
    assert "recordings[0].durationMs: this must be a whole number from 0 to 3600000000\n" in told.err
