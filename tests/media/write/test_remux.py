"""Copies with chapters: the same packets, the same frame times, the chapters where they were put, or nothing at all."""

import hashlib
import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import av
import pytest

from annotator.errors import Cancelled, MediaError
from annotator.media.index.reader import read_index
from annotator.media.probe import probe
from annotator.media.survey import survey
from annotator.media.write.atomic_output import why_not_written
from annotator.media.write.remux import with_chapters
from annotator.model.recording import ContainerChapter
from tests.media.fields import write_fields
from tests.media.films import FILMS, Film, Films, ffmpeg, make

CHAPTERS = [(334, 701, "Ports; “one” = two # three"), (701, 900, "Core\\vitrectomy"), (1_100, 1_333, "Schälen 膜")]


def metadata(chapters: Sequence[tuple[int, int, str]]) -> str:
    """FFmpeg's metadata text, special signs after a backslash: https://ffmpeg.org/ffmpeg-formats.html#Metadata-2 ."""
    text = ";FFMETADATA1\n"
    for start, end, title in chapters:
        escaped = "".join(f"\\{char}" if char in "=;#\\" else char for char in title)
        text += f"[CHAPTER]\nTIMEBASE=1/1000\nSTART={start}\nEND={end}\ntitle={escaped}\n"
    return text


def copied(sources: Sequence[Path], out: Path, *, keep_tags: bool = False) -> tuple[str, ...]:
    surveyed = [survey(source) for source in sources]
    durations = [source.frames.end for source in surveyed]
    return with_chapters(surveyed, metadata(CHAPTERS), out, durations, keep_tags=keep_tags)


def digests(path: Path) -> list[list[str]]:
    """The digest of every packet of picture and sound, track by track, in order."""
    with av.open(str(path)) as container:
        tracks = [stream for stream in container.streams if stream.type in ("video", "audio")]
        found: dict[int, list[str]] = {stream.index: [] for stream in tracks}
        for packet in container.demux(tracks):
            if packet.size:
                found[packet.stream_index].append(hashlib.sha256(bytes(packet)).hexdigest())
        return list(found.values())


def nothing_else(folder: Path, *kept: Path) -> bool:
    return set(folder.iterdir()) == set(kept)


SAME_CONTAINER: list[tuple[str, str]] = [
    ("h264_b.mp4", ".mp4"), ("h264.mov", ".mov"), ("h264.mkv", ".mkv"), ("vp9.webm", ".webm"),
    ("hevc_10bit.mkv", ".mkv"), ("av1.mp4", ".mp4"), ("prores.mov", ".mov"), ("trimmed.mp4", ".mp4"),
    ("trimmed_between.mp4", ".mp4"),
    ("late.mp4", ".mp4"), ("late.mkv", ".mkv"), ("picture_after_sound.mp4", ".mp4"), ("variable.mp4", ".mp4"),
    ("variable.mkv", ".mkv"), ("fragmented.mp4", ".mp4"), ("turned90.mp4", ".mp4"), ("anamorphic.mp4", ".m4v"),
]  # fmt: skip
OTHER_CONTAINER = [
    ("h264_b.mp4", ".mkv"), ("h264.mkv", ".mp4"), ("late.ts", ".mp4"), ("late.ts", ".mkv"), ("avchd.mts", ".mp4"),
    ("mpeg2.mpg", ".mkv"), ("mpeg2.ts", ".mkv"), ("mpeg4.avi", ".mkv"), ("open_gop_cut.ts", ".mkv"),
    ("h264.mov", ".mp4"),
    ("vp9.webm", ".mkv"), ("variable.mp4", ".mkv"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "ending"), SAME_CONTAINER)
def test_the_streams_are_untouched(name: str, ending: str, film: Films, tmp_path: Path) -> None:
    out = tmp_path / f"out{ending}"
    before = film(name).read_bytes()
    assert copied([film(name)], out) == ()
    assert digests(out) == digests(film(name))
    assert film(name).read_bytes() == before
    assert nothing_else(tmp_path, out)
    facts, source = probe(out), probe(film(name))
    kept = (
        "frames",
        "frame_rate",
        "width",
        "height",
        "display_aspect",
        "rotation",
        "video_codec",
        "audio_codec",
        "bit_depth",
    )
    assert [getattr(facts, fact) for fact in kept] == [getattr(source, fact) for fact in kept]


@pytest.mark.parametrize(("name", "ending"), SAME_CONTAINER + OTHER_CONTAINER)
def test_chapters_and_frames_stand_where_they_stood(name: str, ending: str, film: Films, tmp_path: Path) -> None:
    out = tmp_path / f"out{ending}"
    copied([film(name)], out)
    assert probe(out).chapters == tuple(ContainerChapter(*chapter) for chapter in CHAPTERS)
    early = read_index(film(name)).times - read_index(out).times
    assert 0 <= early.min() <= early.max() <= 1


@pytest.mark.parametrize("ending", [".mp4", ".mov", ".mkv"])
def test_other_programs_see_gaps_as_the_container_can_tell_them(ending: str, film: Films, tmp_path: Path) -> None:
    out = tmp_path / f"out{ending}"
    copied([film("h264_b.mp4")], out)
    with av.open(str(out)) as container:
        seen = [
            (round(1_000 * chapter["start"] * (chapter["time_base"] or 1)), chapter["metadata"]["title"])
            for chapter in container.chapters()
        ]
    titled = [(start, title) for start, _, title in CHAPTERS]
    assert seen == (titled if ending == ".mkv" else sorted([*titled, (0, "–"), (900, "–")]))


def test_a_copy_of_a_copy_has_the_new_chapters_only(film: Films, tmp_path: Path) -> None:
    first, second = tmp_path / "first.mp4", tmp_path / "second.mp4"
    copied([film("h264_b.mp4")], first)
    said = with_chapters([survey(first)], metadata([(0, 500, "Anew")]), second, [read_index(first).end])
    assert said == ("left out of the copy of “first.mp4”: 5 chapters",)
    assert probe(second).chapters == (ContainerChapter(0, 500, "Anew"),)
    assert digests(second) == digests(film("h264_b.mp4"))


def test_no_chapters_at_all(film: Films, tmp_path: Path) -> None:
    out = tmp_path / "out.mp4"
    with_chapters([survey(film("h264.mp4"))], ";FFMETADATA1\n", out, [1_500])
    assert probe(out).chapters == ()


JOINED = [
    ("h264_b.mp4", ".mp4"), ("h264.mov", ".mov"), ("h264.mkv", ".mkv"), ("vp9.webm", ".webm"), ("late.mkv", ".mkv"),
    ("picture_after_sound.mp4", ".mp4"), ("fragmented.mp4", ".mp4"), ("variable.mp4", ".mp4"), ("h264_b.mp4", ".mkv"),
    ("late.ts", ".mp4"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "ending"), JOINED)
def test_recordings_are_joined_on_the_clock_of_the_case(name: str, ending: str, film: Films, tmp_path: Path) -> None:
    parts = [tmp_path / f"it's {number} of 3.{film(name).suffix}" for number in range(3)]
    for part in parts:
        part.write_bytes(film(name).read_bytes())
    out = tmp_path / f"out{ending}"
    length = read_index(film(name)).end
    chapters = [(10, length + 5, "Across the border"), (length + 700, 2 * length + 800, "Across the next")]
    with_chapters([survey(part) for part in parts], metadata(chapters), out, [length] * 3)
    assert probe(out).chapters == tuple(ContainerChapter(*chapter) for chapter in chapters)
    times = read_index(film(name)).times
    early = [*times, *(times + length), *(times + 2 * length)] - read_index(out).times
    assert 0 <= early.min() <= early.max() <= 1
    if not name.endswith(".ts"):
        assert digests(out) == [3 * packets for packets in digests(film(name))]


_PLAIN = ("-c:v", "libx264", "-pix_fmt", "yuv420p")


@pytest.mark.parametrize(
    ("other", "says"),
    [
        (Film((*_PLAIN, "-vf", "scale=80:48")), "its picture is 80 × 48, not 160 × 96"),
        (Film(("-c:v", "mpeg4")), "its codec is mpeg4, not h264"),
        (Film(("-c:v", "libx264", "-pix_fmt", "yuv444p")), "its pixel format is yuv444p, not yuv420p"),
        (Film(_PLAIN, "25"), "its clock is 1/12800 s, not 1/15360 s"),
        (Film(_PLAIN, sound=True), "it has 2 tracks, not 1"),
        (Film((*_PLAIN, "-x264-params", "bframes=0:ref=5")), "its encoder settings differ"),
        (Film((*_PLAIN, "-vf", "setsar=4/3")), "its pixel aspect is 4/3, not 1"),
    ],
)
def test_what_cannot_be_joined_says_what_differs(other: Film, says: str, film: Films, tmp_path: Path) -> None:
    strange = make(other, tmp_path / "strange.mp4")
    with pytest.raises(MediaError) as raised:
        copied([film("h264.mp4"), strange], tmp_path / "out.mp4")
    assert f"“strange.mp4” cannot be joined to “h264.mp4” without re-encoding: {says}" in str(raised.value)
    assert nothing_else(tmp_path, strange)


def test_recordings_that_are_turned_differently(film: Films, tmp_path: Path) -> None:
    with pytest.raises(MediaError, match="its rotation is 90°, not 0°"):
        copied([film("h264.mp4"), film("turned90.mp4")], tmp_path / "out.mp4")


def test_sound_must_agree(film: Films, tmp_path: Path) -> None:
    other = tmp_path / "other.mp4"
    ffmpeg("-i", str(film("h264_b.mp4")), "-c:v", "copy", "-ar", "22050", str(other))
    with pytest.raises(MediaError, match="its sampling is 22050 Hz, not 44100 Hz"):
        copied([film("h264_b.mp4"), other], tmp_path / "out.mp4")


@pytest.mark.parametrize("name", ["trimmed.mp4", "trimmed_between.mp4"])
def test_what_would_show_other_frames_is_not_written(name: str, film: Films, tmp_path: Path) -> None:
    """Matroska has no edit lists: pictures that were cut away would come back."""
    with pytest.raises(MediaError, match=r"frames would not be shown at the times.*name a file that ends in \.mp4"):
        copied([film(name)], tmp_path / "out.mkv")
    assert nothing_else(tmp_path)


def test_avi_with_b_pictures_has_no_times_to_keep(film: Films, tmp_path: Path) -> None:
    source = tmp_path / "b.avi"
    ffmpeg("-i", str(film("h264_b.mp4")), "-an", "-c", "copy", str(source))
    for out in (tmp_path / "out.mp4", tmp_path / "out.mkv"):
        with pytest.raises(MediaError, match="re-encode it first"):
            copied([source], out)
    assert nothing_else(tmp_path, source)


@pytest.mark.parametrize("ending", [".mp4", ".mkv"])
def test_fields_in_packets_of_their_own_are_kept(ending: str, tmp_path: Path) -> None:
    source = write_fields(tmp_path / "fields.ts", 50)
    copied([source], tmp_path / f"out{ending}")
    assert read_index(tmp_path / f"out{ending}").times.tolist() == list(range(0, 2_000, 40))


@pytest.mark.parametrize("name", ["talk.avi", "talk.ts", "talk", "talk.txt", "talk.mp3"])
def test_only_containers_with_chapters_are_written(name: str, film: Films, tmp_path: Path) -> None:
    with pytest.raises(MediaError, match=r"must end in \.mp4, \.mov, \.mkv or \.webm"):
        copied([film("h264.mp4")], tmp_path / name)
    assert nothing_else(tmp_path)


def test_webm_takes_only_its_own_codecs(film: Films, tmp_path: Path) -> None:
    with pytest.raises(MediaError, match=r"a \.webm file can't hold; use a \.mp4 or \.mov or \.mkv file"):
        copied([film("h264.mp4")], tmp_path / "out.webm")


def test_a_codec_that_the_container_does_not_take(film: Films, tmp_path: Path) -> None:
    source = tmp_path / "wmv.mkv"
    make(
        Film(
            (
                "-c:v",
                "wmv2",
            )
        ),
        source,
    )
    with pytest.raises(MediaError, match=r"contains wmv2, which a \.mp4 file can't hold; use a \.mov or \.mkv file"):
        copied([source], tmp_path / "out.mp4")
    assert nothing_else(tmp_path, source)


def test_tracks_without_a_place_are_named(film: Films, tmp_path: Path) -> None:
    captions, font = tmp_path / "captions.srt", tmp_path / "note.txt"
    captions.write_text("1\n00:00:00,000 --> 00:00:01,000\nhello\n", encoding="utf-8")
    font.write_text("attached", encoding="utf-8")
    source = tmp_path / "source.mkv"
    ffmpeg(
        *("-i", str(film("h264.mkv")), "-i", str(captions), "-map", "0", "-map", "1", "-c", "copy"),
        *("-attach", str(font), "-metadata:s:t", "mimetype=text/plain", str(source)),
    )
    kept = ("kept in the copy of “source.mkv”: filename, mimetype; it may name a patient",)
    assert copied([source], tmp_path / "out.mkv", keep_tags=True) == kept
    with av.open(str(tmp_path / "out.mkv")) as container:
        assert [stream.type for stream in container.streams] == ["video", "audio", "subtitle", "attachment"]
    assert copied([source], tmp_path / "out.mp4", keep_tags=True) == (
        "track 2 of “source.mkv” (subtitle, subrip) was left out",
        "track 3 of “source.mkv” (attachment, unknown) was left out",
    )


def test_the_recording_itself_is_never_the_target(film: Films, tmp_path: Path) -> None:
    source = tmp_path / "source.mp4"
    source.write_bytes(film("h264.mp4").read_bytes())
    (tmp_path / "here").mkdir()
    for out in (source, tmp_path / "here" / ".." / "source.mp4"):
        with pytest.raises(MediaError, match="is the recording itself"):
            copied([source], out)
    if sys.platform != "win32":
        (tmp_path / "link.mp4").symlink_to(source)
        with pytest.raises(MediaError, match="is the recording itself"):
            copied([source], tmp_path / "link.mp4")
    assert source.read_bytes() == film("h264.mp4").read_bytes()


def test_targets_that_cannot_be(film: Films, tmp_path: Path) -> None:
    with pytest.raises(MediaError, match="There is no folder"):
        copied([film("h264.mp4")], tmp_path / "nowhere" / "out.mp4")
    (tmp_path / "folder.mp4").mkdir()
    with pytest.raises(MediaError, match="is a folder"):
        copied([film("h264.mp4")], tmp_path / "folder.mp4")


def test_an_older_copy_is_replaced_only_by_a_whole_one(film: Films, tmp_path: Path) -> None:
    out = tmp_path / "out.mp4"
    out.write_bytes(b"older")

    def stop(done: float, _total: float) -> None:
        if done > 0.5:
            raise Cancelled

    with pytest.raises(Cancelled):
        with_chapters([survey(film("h264_b.mp4"))], metadata(CHAPTERS), out, [1_500], stop)
    assert out.read_bytes() == b"older"
    assert nothing_else(tmp_path, out)
    copied([film("h264_b.mp4")], out)
    assert probe(out).frames == 45
    assert nothing_else(tmp_path, out)


def test_progress_runs_from_nought_to_one(film: Films, tmp_path: Path) -> None:
    told: list[float] = []
    with_chapters(
        [survey(film("h264.mkv"))],
        metadata(CHAPTERS),
        tmp_path / "out.mkv",
        [1_502],
        lambda done, total: told.append(done / total),
    )
    assert told == sorted(told)
    assert 0 <= told[0] < 1
    assert told[-1] == 1


def test_a_full_drive_is_said_before_anything_is_written(
    film: Films, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    usage = shutil.disk_usage(tmp_path)
    monkeypatch.setattr(shutil, "disk_usage", lambda _folder: usage._replace(free=1_000))
    says = r"needs 16\.8 MB on its drive, 16\.8 MB more than is free there; free some space"
    with pytest.raises(MediaError, match=says):
        copied([film("h264.mp4")], tmp_path / "out.mp4")
    assert nothing_else(tmp_path)


@pytest.mark.skipif(sys.platform == "win32", reason="limits a process as only POSIX systems can")
def test_a_drive_that_fills_up_leaves_nothing(film: Films, tmp_path: Path) -> None:
    """With a limit on the size of files, FFmpeg's writing fails half-way, as on a full drive."""
    script = (
        "import resource, signal, sys\n"
        "from pathlib import Path\n"
        "from annotator.errors import MediaError\n"
        "from annotator.media.write.remux import with_chapters\n"
        "from annotator.media.survey import survey\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (3000, 3000))\n"
        "try:\n"
        "    with_chapters([survey(Path(sys.argv[1]))], ';FFMETADATA1\\n', Path(sys.argv[2]), [1500])\n"
        "except MediaError as error:\n"
        "    print(error)\n"
    )
    out = tmp_path / "out.mp4"
    ran = subprocess.run(
        [sys.executable, "-c", script, str(film("h264_b.mp4")), str(out)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        env={**os.environ, "PYTHONUTF8": "1"},
    )
    assert "“out.mp4” cannot be written" in ran.stdout, ran.stderr
    assert nothing_else(tmp_path)


def test_ffmpegs_words_for_a_full_drive_are_understood() -> None:
    assert "the disk is full" in why_not_written(
        Path("out.mp4"), "av_interleaved_write_frame(): No space left on device"
    )


@pytest.mark.skipif(sys.platform == "win32", reason="no line breaks in names on this system")
def test_a_line_break_in_a_name_is_refused_where_it_would_be_misread(film: Films, tmp_path: Path) -> None:
    parts = [tmp_path / "a\nfile '/etc/passwd'.mp4", tmp_path / "b.mp4"]
    for part in parts:
        part.parent.mkdir(exist_ok=True, parents=True)
        part.write_bytes(film("h264.mp4").read_bytes())
    copied([parts[0]], tmp_path / "one.mp4")
    with pytest.raises(MediaError, match="has a line break in its name"):
        copied(parts, tmp_path / "two.mp4")


def test_a_playlist_among_the_recordings(film: Films, tmp_path: Path) -> None:
    listed = tmp_path / "list.mp4"
    listed.write_text(f"ffconcat version 1.0\nfile '{film('h264.mp4')}'\n", encoding="utf-8")
    with pytest.raises(MediaError, match="points to other files"):
        with_chapters(
            [survey(film("h264.mp4")), survey(listed)], ";FFMETADATA1\n", tmp_path / "out.mp4", [1_500, 1_500]
        )


def test_a_stopped_copy_leaves_no_process(film: Films, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    started: list[subprocess.Popen[bytes]] = []

    class Watched(subprocess.Popen):  # type: ignore[type-arg]  # Popen takes no argument at run time
        def __init__(self, *args: object, **kwargs: object) -> None:
            super().__init__(*args, **kwargs)  # type: ignore[call-overload]  # passed on as they came
            started.append(self)

    monkeypatch.setattr(subprocess, "Popen", Watched)

    def stop(done: float, _total: float) -> None:
        if done > 0.2:
            raise Cancelled

    with pytest.raises(Cancelled):
        with_chapters([survey(film("h264_b.mp4"))], metadata(CHAPTERS), tmp_path / "out.mp4", [1_500], stop)
    assert [process.poll() is not None for process in started] == [True]


def test_the_films_that_are_joined_exist() -> None:
    assert {name for name, _ in SAME_CONTAINER + OTHER_CONTAINER + JOINED} <= FILMS.keys()


TAKES = {
    "h264.mp4": {".mp4", ".mov", ".mkv"},
    "hevc.mp4": {".mp4", ".mov", ".mkv"},
    "mpeg2.ts": {".mp4", ".mov", ".mkv"},
    "mjpeg.mov": {".mp4", ".mov", ".mkv"},
    "prores.mov": {".mov", ".mkv"},
    "vp8.webm": {".mkv", ".webm"},
    "vp9.webm": {".mp4", ".mkv", ".webm"},
    "av1.mp4": {".mp4", ".mkv", ".webm"},
}


@pytest.mark.parametrize("name", TAKES)
@pytest.mark.parametrize("ending", [".mp4", ".mov", ".mkv", ".webm"])
def test_what_a_container_does_not_take_is_said_with_those_that_do(
    name: str, ending: str, film: Films, tmp_path: Path
) -> None:
    """Never in FFmpeg's own words."""
    out = tmp_path / f"out{ending}"
    if ending in TAKES[name]:
        copied([film(name)], out)
        assert probe(out).frames == len(FILMS[name].numbers)
        return
    with pytest.raises(MediaError) as refused:
        copied([film(name)], out)
    assert f"which a {ending} file can't hold; use a " in str(refused.value)
    for other in (".mp4", ".mov", ".mkv", ".webm"):
        assert (f"{other} " in str(refused.value).partition("; use a ")[2]) == (other in TAKES[name])
    assert nothing_else(tmp_path)


def test_sound_that_would_be_written_but_never_read_is_refused(tmp_path: Path) -> None:
    """FFmpeg 8 copies it into MOV without a complaint, into a file that it cannot read."""
    path = make(Film(("-c:v", "libx264", "-c:a", "wmav2"), sound=True), tmp_path / "old.mkv")
    with pytest.raises(MediaError, match=r"contains wmav2, which a \.mov file can't hold; use a \.mkv file"):
        copied([path], tmp_path / "out.mov")


def test_no_ending_is_offered_that_was_asked_for_already(film: Films, tmp_path: Path) -> None:
    """Captions that begin before the picture are a recording's zero, and are not in its copy."""
    captions = tmp_path / "early.srt"
    captions.write_text("1\n00:00:00,000 --> 00:00:01,000\nModel eye\n", encoding="utf-8")
    path = tmp_path / "late.mkv"
    ffmpeg("-itsoffset", "0.5", "-i", str(film("h264.mkv")), "-i", str(captions), "-c", "copy", str(path))
    with pytest.raises(MediaError, match=r"frames would not be shown at the times.*re-encode it first"):
        copied([path], tmp_path / "out.mkv")
