"""What stands beside a case, or happens to its file, told by a verb that changes it: a sentence, and nothing lost."""

import errno
import sys
from pathlib import Path

import pytest

from annotator.store.session import Session
from annotator.workflow import add_tags
from annotator.workflow.tag_rows import read_rows
from tests.cli.conftest import Annotate

posix = pytest.mark.skipif(sys.platform == "win32", reason="links and locks of POSIX")


@pytest.fixture
def steps(tmp_path: Path) -> Path:
    table = tmp_path / "steps.csv"
    table.write_text("start,end,step\n0:01,0:02,core\n", encoding="utf-8")
    return table


@posix
@pytest.mark.parametrize("ending", ["journal", "lock"])
def test_a_link_beside_the_case_is_named_and_leads_nowhere(
    annotate: Annotate, case: Path, steps: Path, tmp_path: Path, ending: str
) -> None:
    letter = tmp_path / "letter.txt"
    letter.write_text("a letter", encoding="utf-8")
    link = case.with_name(f".{case.name}.{ending}")
    link.symlink_to(letter)
    refused = annotate("tags", case, "--add", steps)
    assert refused.status == 2
    assert f"“{link.name}” is a link to another place; remove it and try again" in refused.err
    assert letter.read_text(encoding="utf-8") == "a letter"


@posix
def test_a_share_without_locks_is_explained(
    annotate: Annotate, case: Path, steps: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def flock(_descriptor: int, _operation: int) -> None:
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr("fcntl.flock", flock)
    refused = annotate("tags", case, "--add", steps)
    assert refused.status == 2
    assert "copy the case and its recordings to a folder on this computer and open it there" in refused.err
    assert annotate("tags", case).status == 0


def test_a_case_that_is_replaced_while_tags_are_added_is_left_and_the_tags_are_in_a_copy(
    annotate: Annotate, case: Path, steps: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = case.read_bytes() + b"\n"

    def and_replaced(*arguments: object) -> object:
        case.write_bytes(other)
        return read_rows(*arguments)  # type: ignore[arg-type] # handed on

    monkeypatch.setattr(add_tags, "read_rows", and_replaced)
    refused = annotate("tags", case, "--add", steps)
    copy = case.with_name(case.name.replace(".case.jsonld", "-mine-1.case.jsonld"))
    assert refused.status == 2
    assert f"your version is saved as {copy}" in refused.err
    assert case.read_bytes() == other
    with Session.open(copy, writable=False) as session:
        assert len(session.case.tags) == 1
