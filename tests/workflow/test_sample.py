"""The sample as a case: made anywhere, known again while nobody has changed it."""

import tempfile
import tomllib
from pathlib import Path

import pytest

from annotator.bundled import bundled
from annotator.errors import StoreError
from annotator.formats.tables import tags_csv
from annotator.measure.durations import summarise
from annotator.measure.findings import findings
from annotator.model import edits
from annotator.model.case import Case, Certainty, Eye, Tag, with_tags
from annotator.model.recording import View
from annotator.store.recordings import carried
from annotator.store.session import Session
from annotator.workflow import sample
from annotator.workflow.sample import HOLE, MEMBRANES, Sample, create_sample, is_untouched_sample

NAME = "model-eye.case.jsonld"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample as it is made, and where its recording's frames are kept for all tests here."""
    folder = tmp_path_factory.mktemp("made")
    with pytest.MonkeyPatch.context() as environment:
        environment.setenv("XDG_CACHE_HOME", str(folder / "cache"))
        create_sample(folder / NAME).close()
    return folder


@pytest.fixture(autouse=True)
def known_recording(made: Path, own_folders: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(made / "cache"))


@pytest.fixture
def path(made: Path, tmp_path: Path) -> Path:
    with Session.open(made / NAME, writable=False) as session:
        Session.create(tmp_path / NAME, carried(session.case, made / NAME, tmp_path / NAME)).close()
    return tmp_path / NAME


@pytest.mark.parametrize(
    ("sample", "folder", "said"),
    [
        (MEMBRANES, ".", (Eye.LEFT, "diabetic", View.UPRIGHT)),
        (HOLE, "macular-hole", (Eye.RIGHT, "macular", View.TURNED)),  # as sample_media/README.md says
    ],
)
def test_it_holds_every_step_of_the_table_and_is_saved(
    tmp_path: Path, sample: Sample, folder: str, said: tuple[Eye, str, View]
) -> None:
    steps = tags_csv.loads((bundled("sample_media") / folder / "steps.csv").read_text(encoding="utf-8"))
    with create_sample(tmp_path / "new" / "folders" / NAME, sample) as session:
        assert session.is_saved
        assert session.case.title == sample.title
        assert "invented" in sample.title
        assert (session.case.eye, session.case.kind, session.case.recordings[0].picture) == said
        assert len(session.case.tags) == len(steps)
        assert sorted(tag.note for tag in session.case.tags) == sorted(step.note for step in steps)
        assert all(session.case.concept_of(tag) for tag in session.case.tags)
        made = session.case
    with Session.open(tmp_path / "new" / "folders" / NAME) as again:
        assert again.case == made


def test_check_and_durations_say_the_same_of_a_step_under_another_phase(path: Path) -> None:
    """Of the sample as it is there is nothing to say; a phase tagged too far lies over steps of the next."""
    with Session.open(path, writable=False) as session:
        case = session.case
    assert findings(case) == ()
    assert summarise(case, "phase").overlap == 0
    by_step = {one.notation: tag for tag in case.tags if (one := case.concept_of(tag)) and one.facet == "step"}
    staining = by_step["membrane-staining"]
    vitrectomy = case.vocabulary.by_notation["vitrectomy"].iri
    too_far = Tag("urn:too-far", vitrectomy, by_step["core-vitrectomy"].start, staining.start + 2_002)
    others = [tag.id for tag in case.tags if (facet := case.facet_of(tag)) and facet.name == "phase"]
    case = with_tags(case, [too_far], others)
    (finding,) = findings(case)
    assert "counts for Membrane work, but 2.002 s of that lies under Vitrectomy" in finding.says
    assert finding.tag_ids == (too_far.id, staining.id)
    assert summarise(case, "phase").overlap == 2_002


@pytest.mark.parametrize("sample", [MEMBRANES, HOLE])
def test_what_it_is_made_of_travels_with_the_program(sample: Sample) -> None:
    root = bundled("sample_media").parent
    settings = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))
    carried = [root / one for one in settings["tool"]["hatch"]["build"]["targets"]["wheel"]["only-include"]]
    for name in (sample.recording, sample.steps):
        path = sample.home / name
        assert path.is_file()
        assert any(one in (path, *path.parents) for one in carried), path


def test_what_nobody_has_changed_is_the_sample_wherever_it_lies(path: Path, tmp_path: Path) -> None:
    assert is_untouched_sample(path)
    (tmp_path / "deeper").mkdir()
    elsewhere = path.rename(tmp_path / "deeper" / "renamed.case.jsonld")
    assert is_untouched_sample(elsewhere)


def of_first(case: Case) -> str:
    return case.tags[0].id


@pytest.mark.parametrize(
    "edit",
    [
        lambda case: edits.rename(case, "Mine"),
        lambda case: edits.set_eye(case, None),
        lambda case: edits.remove(case, [of_first(case)]),
        lambda case: edits.describe(case, [of_first(case)], note="mine"),
        lambda case: edits.describe(case, [of_first(case)], certainty=Certainty.PROBABLE),
        lambda case: edits.move_end(case, of_first(case), case.tag(of_first(case)).start + 1_000),
        lambda case: edits.relocate(case, 0, case.recordings[0].path, "sha256-samples-1:5:0"),
    ],
    ids=["title", "eye", "removed", "note", "certainty", "edge", "content"],
)
def test_one_change_and_it_is_somebody_s(path: Path, edit: edits.Edit) -> None:
    with Session.open(path) as session:
        session.do(edit)
    assert not is_untouched_sample(path)


def test_a_change_taken_back_leaves_it_as_it_was(path: Path) -> None:
    with Session.open(path) as session:
        session.do(lambda case: edits.rename(case, "Mine"))
        session.undo()
    assert is_untouched_sample(path)


def test_while_somebody_has_it_open_it_may_be_changed_any_moment(path: Path) -> None:
    with Session.open(path):
        assert not is_untouched_sample(path)
    assert is_untouched_sample(path)


def test_looking_changes_nothing_and_leaves_nothing(path: Path) -> None:
    before = {one.name: one.read_bytes() for one in path.parent.iterdir()}
    assert is_untouched_sample(path)
    assert {one.name: one.read_bytes() for one in path.parent.iterdir()} == before


def test_without_room_for_a_copy_to_compare_with_it_is_said(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(prefix: str) -> None:
        raise FileNotFoundError("No usable temporary directory found")

    monkeypatch.setattr(sample, "TemporaryDirectory", full)
    with pytest.raises(StoreError, match="There is no space in the system's folder"):
        is_untouched_sample(path)


def test_a_folder_that_can_not_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(StoreError, match=r"the folder .*file can't be made: "):
        create_sample(tmp_path / "file" / NAME)


def test_a_case_of_somebody_s_is_not_replaced_unasked(path: Path) -> None:
    with Session.open(path) as session:
        session.do(lambda case: edits.rename(case, "Mine"))
    with pytest.raises(StoreError, match="already"):
        create_sample(path)
    with Session.open(path) as session:
        assert session.case.title == "Mine"
    create_sample(path, overwrite=True).close()
    assert is_untouched_sample(path)


def test_where_its_steps_can_not_be_added_nobody_holds_the_case(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match=r"gone\.csv"):
        create_sample(tmp_path / NAME, MEMBRANES._replace(steps="gone.csv"))
    with Session.open(tmp_path / NAME) as session:
        assert session.case.tags == ()


def test_no_copy_to_compare_with_is_left_behind(path: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "temporary").mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "temporary"))
    assert is_untouched_sample(path)
    assert list((tmp_path / "temporary").iterdir()) == []
