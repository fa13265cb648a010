"""`annotator tags`: tables in, tables out, all faults at once, all or nothing."""

import json
import subprocess
import sys
from fractions import Fraction
from math import ceil
from pathlib import Path

import imageio_ffmpeg
import pytest

from tests.cli.conftest import Annotate, make_video, tags_in
from tests.media.ebml import CHAPTERS, atom, edition, element, title, with_list

NTSC_FRAME = Fraction(1001, 30000)


def frame(index: int) -> int:
    """The time of a frame of the recording in ms: the ceiling of its exact time (docs/architecture.md)."""
    return ceil(index * NTSC_FRAME * 1000)


def table(path: Path, *rows: str, header: str = "start,end,step,performer,place,certainty,note") -> Path:
    path.write_text("\n".join([header, *rows]) + "\n", encoding="utf-8")
    return path


def test_a_table_becomes_tags_on_frame_boundaries(annotate: Annotate, case: Path, tmp_path: Path) -> None:
    rows = table(
        tmp_path / "steps.csv",
        "0:00:01.000,0:00:05.2,core vitrectomy,teacher,4-6 mid-periphery,certain,steady",
        "00:06,8.5,PRP,trainee under guidance,,probable,",
        "9,,bleeding,,,,",
    )
    assert annotate("tags", case, "--add", rows).status == 0
    listed = tags_in(annotate, case)
    assert [tag["notation"] for tag in listed] == ["core-vitrectomy", "endolaser-panretinal", "bleeding"]
    first = listed[0]
    assert (first["start_ms"], first["end_ms"]) == (frame(30), frame(156))
    assert (first["performer"], first["place"], first["certainty"]) == ("teacher", "4-6 mid-periphery", "certain")
    assert (first["facet"], first["label"], first["note"]) == ("step", "Core vitrectomy", "steady")
    assert first["confirmed"] is True
    assert listed[2]["start_ms"] == listed[2]["end_ms"] == frame(270), "an event without an end is a moment"


def test_a_training_bodys_terms_stand_in_a_column_of_their_own(annotate: Annotate, case: Path, tmp_path: Path) -> None:
    rows = table(tmp_path / "steps.csv", "1,2,segmentation,teacher,,,", "2,4,segmentation,assistant,,,", "5,6,oil,,,,")
    assert annotate("tags", case, "--add", rows).status == 0
    terms = table(tmp_path / "terms.csv", "Trainer,=P1", "assisting,A", header="role,term")
    listed = annotate("tags", case, "--format", "csv", "--role-terms", terms).out
    assert [line.rpartition(",")[2] for line in listed.splitlines()] == ["performer_term", "'=P1", "A", ""]
    again = tmp_path / "again.csv"
    again.write_text(listed, encoding="utf-8")
    assert annotate("tags", case, "--add", again).status == 1, "it reads back, and says nothing new"
    in_json = json.loads(annotate("tags", case, "--format", "json", "--role-terms", terms).out)
    assert [tag["performer_term"] for tag in in_json] == ["=P1", "A", None]
    by_performer = ("durations", case, "--by", "performer", "--role-terms", terms)
    figures = annotate(*by_performer, "--format", "csv").out
    ends = {line.partition(",")[0]: line.rpartition(",")[2] for line in figures.splitlines()}
    assert ends == {"performer": "performer_term", "": "", "teacher": "'=P1", "assisting": "A", "not said": ""}
    groups = json.loads(annotate(*by_performer, "--format", "json").out)["by_performer"]
    assert [(one["performer"], one["performer_term"]) for one in groups] == [
        ("teacher", "=P1"),
        ("assisting", "A"),
        (None, None),
    ]
    assert annotate("tags", case, "--role-terms", terms).status == 2
    assert annotate("durations", case, "--role-terms", terms).status == 2


def test_what_is_listed_as_a_table_reads_back_the_same(annotate: Annotate, case: Path, tmp_path: Path) -> None:
    rows = table(
        tmp_path / "steps.csv",
        '1,2,segmentation,,11-1 far periphery,,"=HYPERLINK(""x"") said, ""twice"""',
        "3,running,bimanual,,,,",
        "4,5,delaminatoin,,,,",
    )
    assert annotate("tags", case, "--add", rows).status == 0
    listed = annotate("tags", case, "--format", "csv").out
    assert listed.splitlines()[0] == "start,end,step,performer,place,certainty,note,strength,confirmed,words"
    assert listed.splitlines()[-1].endswith(",no,delaminatoin")
    assert ",\"'=HYPERLINK" in listed, "a note must not become a formula"
    again = tmp_path / "again.csv"
    again.write_text(listed, encoding="utf-8")
    fresh = tmp_path / "fresh.case.jsonld"
    recording = json.loads(case.read_text(encoding="utf-8"))["recordings"][0]["path"]
    assert annotate("new", case.parent / recording, "--out", fresh).status == 0
    assert annotate("tags", fresh, "--add", again).status == 0
    assert annotate("tags", fresh, "--format", "csv").out == listed


FAULTY = (
    "0:61,8,core vitrectomy,,,,",
    "2,3,staining,,,,",
    "4,2,segmentation,,,,",
    "5,6,segmentation,scrub nurse,13 macula,sure,",
    "500,600,segmentation,,,,",
    "7,7.001,segmentation,,,,",
    ",,,,,,note only",
)


def test_all_faults_are_said_with_their_rows_and_nothing_is_added(
    annotate: Annotate, case: Path, tmp_path: Path
) -> None:
    rows = table(tmp_path / "steps.csv", "1,2,core vitrectomy,,,,", *FAULTY)
    refused = annotate("tags", case, "--add", rows)
    assert refused.status == 2
    for row, words in {
        3: "0:61",
        4: "did you mean “Vitreous staining”",
        5: "before it starts",
        6: "scrub nurse",
        7: "after the end of the recording",
        8: "shorter than a frame",
        9: "empty",
    }.items():
        assert any(f"row {row}:" in line and words in line for line in refused.err.splitlines()), refused.err
    assert refused.err.count("row 6:") == 3, "a row's three faults are all said"
    assert tags_in(annotate, case) == []


def test_keep_going_adds_the_good_rows_and_says_the_others(annotate: Annotate, case: Path, tmp_path: Path) -> None:
    rows = table(tmp_path / "steps.csv", "1,2,core vitrectomy,,,,", *FAULTY)
    added = annotate("tags", case, "--add", rows, "--keep-going")
    assert added.status == 0
    assert "1 tag added" in added.err
    assert "left out: row 4:" in added.err


def test_words_near_to_a_step_are_taken_to_be_confirmed(annotate: Annotate, case: Path, tmp_path: Path) -> None:
    added = annotate("tags", case, "--add", table(tmp_path / "steps.csv", "2,3,delaminatoin,,,,fine"))
    assert added.status == 0
    assert "note: “delaminatoin” is taken as “Delamination”, to be confirmed" in added.err
    (tag,) = tags_in(annotate, case)
    assert (tag["notation"], tag["confirmed"], tag["words"]) == ("delamination", False, "delaminatoin")
    assert "written as “delaminatoin”; fine" in annotate("tags", case).out


def test_a_time_far_from_a_frame_is_said(annotate: Annotate, tmp_path: Path) -> None:
    slow = make_video(tmp_path / "slow.mp4", 20, "30", "-vf", "select='lt(n,30)+gt(n,300)'", "-fps_mode", "vfr")
    case = tmp_path / "slow.case.jsonld"
    assert annotate("new", slow, "--out", case).status == 0
    told = annotate("tags", case, "--add", table(tmp_path / "steps.csv", "0.51,15.01,core vitrectomy,,,,"))
    assert told.status == 0
    assert "moves to the frame" not in told.err, "within a frame nothing is said"


@pytest.mark.parametrize("delimiter", [";", "\t"])
def test_tables_as_spreadsheets_save_them(annotate: Annotate, case: Path, tmp_path: Path, delimiter: str) -> None:
    rows = tmp_path / "steps.csv"
    text = delimiter.join(["Start", "End", "Step"]) + "\r\n" + delimiter.join(["0:01", "0:03,5", "air"]) + "\r\n"
    rows.write_text(text, encoding="utf-8-sig", newline="")
    assert annotate("tags", case, "--add", rows).status == 0
    assert tags_in(annotate, case)[0]["end_ms"] == frame(105)


def test_a_wrong_header_names_the_nearest_columns(annotate: Annotate, case: Path, tmp_path: Path) -> None:
    refused = annotate("tags", case, "--add", table(tmp_path / "steps.csv", "1,2,air", header="strat,end,step"))
    assert refused.status == 2
    assert "did you mean “start”" in refused.err


def test_chapters_that_came_with_a_recording_are_added(annotate: Annotate, case: Path, tmp_path: Path) -> None:
    captions = tmp_path / "came.vtt"
    captions.write_text("WEBVTT\n\n00:01.000 --> 00:05.000\nCore vitrectomy\n\n00:05.000 --> 00:09.000\nILM peel\n")
    assert annotate("tags", case, "--add", captions).status == 0
    inside = tmp_path / "with.mp4"
    assert annotate("embed", case, "--out", inside).status == 0
    second = tmp_path / "second.case.jsonld"
    assert annotate("new", inside, "--out", second).status == 0
    assert annotate("tags", second, "--add", inside).status == 0
    tags = [tags_in(annotate, one) for one in (case, second)]
    first, again = ([(tag["start_ms"], tag["end_ms"], tag["notation"]) for tag in listed] for listed in tags)
    assert first == again
    assert first[0] == (frame(30), frame(150), "core-vitrectomy")


def test_nested_chapters_that_we_wrote_read_back(annotate: Annotate, case: Path, video: Path, tmp_path: Path) -> None:
    rows = table(tmp_path / "steps.csv", "1,9,core vitrectomy,,,,", "9,19,gas,,,,", "2,4,bimanual,,,,")
    assert annotate("tags", case, "--add", rows).status == 0
    chapters = tmp_path / "nested.vtt"
    assert annotate("chapters", case, "--out", chapters, "--nested").status == 0
    assert "Tamponade: Gas" in chapters.read_text(encoding="utf-8")
    fresh = tmp_path / "fresh.case.jsonld"
    assert annotate("new", video, "--out", fresh).status == 0
    assert annotate("tags", fresh, "--add", chapters).status == 0
    found = {tag["notation"] for tag in tags_in(annotate, fresh)}
    assert found == {"vitrectomy", "core-vitrectomy", "bimanual", "tamponade", "gas"}


def test_a_caption_file_with_a_wrong_time_adds_nothing(annotate: Annotate, case: Path, tmp_path: Path) -> None:
    captions = tmp_path / "came.vtt"
    captions.write_text("WEBVTT\n\n00:01.000 --> 00:65.000\nCore vitrectomy\n")
    assert annotate("tags", case, "--add", captions).status == 2
    assert tags_in(annotate, case) == []


def test_a_case_without_its_recording_still_takes_tags(annotate: Annotate, tmp_path: Path) -> None:
    video = make_video(tmp_path / "gone.mp4", 10)
    case = tmp_path / "gone.case.jsonld"
    assert annotate("new", video, "--out", case).status == 0
    video.unlink()
    told = annotate("tags", case, "--add", table(tmp_path / "steps.csv", "1,2,air,,,,"))
    assert told.status == 0
    assert "was not found" in told.err
    assert annotate("durations", case).status == 0
    assert annotate("chapters", case, "--out", tmp_path / "c.vtt").status == 0


def test_what_was_not_saved_before_a_kill_is_taken_in_and_said(annotate: Annotate, case: Path, tmp_path: Path) -> None:
    source = (
        "import os, sys; from pathlib import Path; from annotator.store.session import Session; "
        "from annotator.model import edits; session = Session.open(Path(sys.argv[1])); "
        "session.do(lambda case: edits.rename(case, 'renamed')); os._exit(9)"
    )
    killed = subprocess.run([sys.executable, "-c", source, str(case)], check=False)
    assert killed.returncode == 9
    told = annotate("tags", case, "--add", table(tmp_path / "steps.csv", "1,2,air,,,,"))
    assert told.status == 0
    assert "recovered: a change from before an interruption" in told.err
    assert annotate("durations", case).out.startswith("renamed")


def test_chapters_inside_a_recording_and_those_that_are_left_out(
    annotate: Annotate, case: Path, video: Path, tmp_path: Path
) -> None:
    streamed = tmp_path / "streamed.mkv"
    ffmpeg = [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-i", video, "-c", "copy", "-f", "matroska"]
    subprocess.run([*ffmpeg, "-seekable", "0", f"file:{streamed}"], check=True)
    within = atom(1_000, 2_000, title("ILM staining", "eng"), title("Färben", "ger"))
    hidden = atom(5_000, 6_000, title("PRP"), hidden=True)
    chapters = element(CHAPTERS, edition(atom(0, 4_000, title("Core vitrectomy"), within), hidden))
    recording = with_list(streamed, tmp_path / "chaptered.mkv", chapters)
    added = annotate("tags", case, "--add", recording)
    assert added.status == 0, added.err
    assert "2 tags added" in added.err
    assert "note: 1 chapter hidden, left out" in added.err
    assert "note: Titles of its chapters in other languages (ger), left out" in added.err
    shown = annotate("inspect", recording).out
    assert "00:00:00.000 to 00:00:04.000  Core vitrectomy" in shown
    assert "00:00:01.000 to 00:00:02.000    ILM staining" in shown
    only_hidden = with_list(streamed, tmp_path / "hidden.mkv", element(CHAPTERS, edition(hidden)))
    assert "1 chapter hidden, left out" in annotate("tags", case, "--add", only_hidden).err


STEPS = ("1,5,core vitrectomy,teacher,4-6 mid-periphery,probable,steady", "6,8,PRP,,,,", "9,,bleeding,,,,")


def test_the_same_table_again_adds_nothing_and_says_so(annotate: Annotate, case: Path, tmp_path: Path) -> None:
    rows = table(tmp_path / "steps.csv", *STEPS)
    assert "3 tags added" in annotate("tags", case, "--add", rows).err
    before = case.read_bytes()
    again = annotate("tags", case, "--add", rows)
    assert again.status == 1
    assert "3 of 3 tags are in the case already; left unchanged" in again.err
    assert "0 tags added" in again.err
    assert case.read_bytes() == before


def test_of_a_table_that_has_grown_only_the_new_rows_are_added(annotate: Annotate, case: Path, tmp_path: Path) -> None:
    assert annotate("tags", case, "--add", table(tmp_path / "steps.csv", STEPS[0])).status == 0
    told = annotate("tags", case, "--add", table(tmp_path / "steps.csv", *STEPS, STEPS[2], STEPS[1] + "by another"))
    assert "1 of 5 tags is in the case already; left unchanged" in told.err
    assert "1 of 5 tags is a duplicate in the file; added once" in told.err
    assert "3 tags added" in told.err, "a row that says something else of the same time is another tag"


def test_chapters_that_are_in_the_case_already_are_left(annotate: Annotate, case: Path, tmp_path: Path) -> None:
    captions = tmp_path / "came.vtt"
    captions.write_text("WEBVTT\n\n00:01.000 --> 00:05.000\nCore vitrectomy\n\n00:05.000 --> 00:09.000\nILM peel\n")
    assert annotate("tags", case, "--add", captions).status == 0
    inside = tmp_path / "with.mp4"
    assert annotate("embed", case, "--out", inside).status == 0
    for source in (captions, inside):
        assert "2 of 2 tags are in the case already" in annotate("tags", case, "--add", source).err
    assert len(tags_in(annotate, case)) == 2


def test_tags_made_while_the_recording_was_away_are_known_again(annotate: Annotate, tmp_path: Path) -> None:
    """Without the recording a time is taken as it is written, 1.010; with it, it moves to the frame at 1.001."""
    video = make_video(tmp_path / "wet-lab.mp4", 10)
    case = tmp_path / "wet-lab.case.jsonld"
    assert annotate("new", video, "--out", case).status == 0
    rows = table(tmp_path / "steps.csv", "1.010,2.020,air,,,,")
    away = video.rename(tmp_path / "away")
    assert annotate("tags", case, "--add", rows).status == 0
    away.rename(video)
    assert "1 of 1 tags is in the case already" in annotate("tags", case, "--add", rows).err


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('start,end,step,note\n1,2,air,"left open\n3,4,gas,\n5,6,air,\n', 'line 2: a quotation mark (") is opened'),
        ('start,end,step,note\n1,2,air,"a\nb"\n3,4,gas,"open\n5,6,air,\n', 'line 4: a quotation mark (") is opened'),
        ('start,end,step,note\n1,2,air,"left open\n3,4,gas,\n5,6,air,"closed"\n', "not closed before line 4"),
        ('start,end,step,note\n1,2,air,"left open\n3,4,gas,\n5,6,air,closed"\n', "line 3, which looks like a row"),
        ('start;end;step;note\n1;2;air;"left open\n3;4;gas;\n5;6;air;closed"\n', "line 3, which looks like a row"),
        ('note,step,end,start\n"left open,air,2,1\n,gas,4,3\nclosed",air,6,5\n', "line 3, which looks like a row"),
        (
            'start,end,step,note\n1,2,air,"he said "no" to it"\n',
            "line 2: text follows a closing quotation mark",
        ),
        ('start,end,"step,note\n1,2,air,\n', 'line 1: a quotation mark (") is opened'),
        ("start,end,step,note\n1,2,air," + '"' + "x" * 200_000 + '"\n', "line 2: a cell starts there with more"),
        ("start,end,step,note\n1,2,air," + "x" * 10_001 + "\n", "row 2: the note is longer than 10,000 characters"),
        ("1,2,air\n3,4,gas\n", "the first line must name the columns"),
        ("start,end,step,step\n1,2,air,gas\n", "the column “step” is there more than once"),
        ("start,end,step\n1,2,air,0,5\n", "row 2: has 5 cells"),
        ('start,end,step,note\n1,2,air,"two\nlines"\n3,4,ari,\n', "row 4: There is no concept “ari”"),
        ('start,end,step,note\n1,2,ari,"two\nlines"\n3,4,air,\n', "row 2: There is no concept “ari”"),
        ("sep=;\nstart;end;step\n1;2;ari\n", "row 3: There is no concept “ari”"),
    ],
)
def test_a_table_that_is_not_what_it_seems_is_refused_with_the_line(
    annotate: Annotate, case: Path, tmp_path: Path, text: str, says: str
) -> None:
    rows = tmp_path / "steps.csv"
    rows.write_text(text, encoding="utf-8", newline="")
    refused = annotate("tags", case, "--add", rows)
    assert refused.status == 2
    assert says in refused.err
    assert tags_in(annotate, case) == []


@pytest.mark.parametrize(
    ("text", "note"),
    [
        ('start,end,step,note\n1,2,air,"first line\nsecond, of the note"\n', "first line\nsecond, of the note"),
        ('start,end,step,note\r\n1,2,air,"first line\r\nsecond"\r\n', "first line\nsecond"),
        ('start,end,step,note\n1,2,air,"he said ""no"""\n', 'he said "no"'),
        ('start,end,step,note\n1,2,air,2" needle\n', '2" needle'),
        ("start,end,step,note\r1,2,air,old line ends\r", "old line ends"),
        ("sep=;\r\nstart;end;step;note\r\n1;2;air;a, b; \r\n", "a, b"),
        ("start\tend\tstep\tnote\n1\t2\tair\ta, b; c\n", "a, b; c"),
        ("start,end,step,note,,\n1,2,air,empty columns,,\n", "empty columns"),
        ("start,end,step,note\n1,2,air,a\x0bb\x1b[2Jc\n", "a b [2Jc"),
    ],
)
def test_a_note_may_hold_what_a_spreadsheet_lets_it(
    annotate: Annotate, case: Path, tmp_path: Path, text: str, note: str
) -> None:
    rows = tmp_path / "steps.csv"
    rows.write_text(text, encoding="utf-8", newline="")
    assert annotate("tags", case, "--add", rows).status == 0
    assert [tag["note"] for tag in tags_in(annotate, case)] == [note]


def test_of_very_many_faults_the_first_are_told(annotate: Annotate, case: Path, tmp_path: Path) -> None:
    rows = table(tmp_path / "steps.csv", "1,2,air,,,,", *(f"1,2,unknown {number},,,," for number in range(3_000)))
    refused = annotate("tags", case, "--add", rows)
    assert refused.status == 2
    assert len(refused.err.splitlines()) == 52
    assert refused.err.splitlines()[-1] == "  and 2,950 more"
    added = annotate("tags", case, "--add", rows, "--keep-going")
    assert added.err.splitlines()[-2:] == ["note: left out: and 2,950 more", f"1 tag added to {case}"]


@pytest.mark.parametrize(("encoding", "status"), [("utf-16", 0), ("utf-8-sig", 0), ("utf-16-le", 2), ("utf-16-be", 2)])
def test_a_table_in_another_encoding(
    annotate: Annotate, case: Path, tmp_path: Path, encoding: str, status: int
) -> None:
    rows = tmp_path / "steps.csv"
    rows.write_text("start,end,step,note\n1,2,air,größer\n", encoding=encoding)
    told = annotate("tags", case, "--add", rows)
    assert told.status == status
    assert ("save the table as “CSV UTF-8”" in told.err) == (status == 2)
