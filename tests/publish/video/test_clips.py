"""Clips: frame for frame what was tagged, told by the bar code on the pictures that come out."""

from pathlib import Path

import av
import pytest

from annotator.errors import Cancelled, MediaError
from annotator.media.index.reader import read_index
from annotator.publish.video.clips import starts_of_copies, write_clips
from tests.measure.cases import tag
from tests.publish.numbered import case_of, frames_of, numbers_in, recording

X264 = ("-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p", "-bf", "2", "-g", "30")
THINNED = ("-vf", "select='not(mod(n,3))+eq(mod(n,7),1)'", "-fps_mode", "vfr")
VP9 = ("-c:v", "libvpx-vp9", "-deadline", "realtime", "-cpu-used", "8", "-g", "15", "-c:a", "libopus")

CASES = [
    ("eye.mp4", "30000/1001", X264, range(90)),
    ("eye.mkv", "50", X264, range(90)),
    ("eye.ts", "25", X264, range(90)),
    ("eye.webm", "30", VP9, range(90)),
    ("uneven.mp4", "60", (*X264, *THINNED), [n for n in range(90) if n % 3 == 0 or n % 7 == 1]),
]


@pytest.mark.parametrize(("name", "rate", "args", "numbers"), CASES, ids=[case[0] for case in CASES])
def test_an_exact_clip_holds_the_tagged_frames(
    name: str, rate: str, args: tuple[str, ...], numbers: list[int], tmp_path: Path
) -> None:
    film = recording(tmp_path / name, 90, rate, *args)
    before = film.read_bytes()
    case = case_of(film, tags=(frames_of(film, "core", 5, 6), frames_of(film, "shave", 7, 33)))
    out = tmp_path / "out"
    out.mkdir()
    written, notes = write_clips(case, tmp_path / "c.jsonld", case.tags, out)
    assert notes == ()
    assert [numbers_in(path) for path in written] == [list(numbers[5:6]), list(numbers[7:33])]
    source, clip = read_index(film).times, read_index(written[1]).times
    assert abs((source[7:33] - source[7]) - (clip - clip[0])).max() <= 1
    assert set(out.iterdir()) == set(written)
    assert film.read_bytes() == before
    with av.open(str(written[1])) as container:
        assert [stream.codec_context.name for stream in container.streams] == ["h264", "aac"]


def test_webm_is_exact_too(tmp_path: Path) -> None:
    film = recording(tmp_path / "eye.mp4", 60, "30000/1001", *X264)
    case = case_of(film, tags=(frames_of(film, "core", 31, 40),))
    (clip,), _ = write_clips(case, tmp_path / "c.jsonld", case.tags, tmp_path, "webm")
    assert numbers_in(clip) == list(range(31, 40))
    with av.open(str(clip)) as container:
        assert [stream.codec_context.codec.canonical_name for stream in container.streams] == ["vp9", "opus"]


def test_what_a_recorder_wrote_into_the_pictures_is_told_of_copies(tmp_path: Path) -> None:
    data = "00112233-4455-6677-8899-aabbccddeeff+Quillon"
    film = recording(tmp_path / "eye.mp4", 60, "30", *X264, "-bsf:v", f"h264_metadata=sei_user_data={data}")
    case = case_of(film, tags=(frames_of(film, "core", 10, 20), frames_of(film, "core", 30, 40)))
    _, of_copies = write_clips(case, tmp_path / "c.jsonld", case.tags, tmp_path, "copy")
    assert ["hidden data from the recorder" in note for note in of_copies].count(True) == 1
    (tmp_path / "anew").mkdir()
    (clip, _), of_others = write_clips(case, tmp_path / "c.jsonld", case.tags, tmp_path / "anew")
    assert not [note for note in of_others if "hidden data" in note]
    assert b"Quillon" not in clip.read_bytes()


@pytest.mark.parametrize("form", ["mp4", "copy"])
def test_nothing_the_source_says_about_people_comes_along(form: str, tmp_path: Path) -> None:
    film = recording(tmp_path / "eye.mp4", 60, "30", *X264)
    case = case_of(film, tags=(frames_of(film, "core", 10, 20),))
    (clip,), _ = write_clips(case, tmp_path / "c.jsonld", case.tags, tmp_path, "mp4" if form == "mp4" else "copy")
    assert b"Nescio" in film.read_bytes()
    assert b"Nescio" not in clip.read_bytes()


def test_a_copied_clip_begins_at_the_key_frame_and_says_how_early(tmp_path: Path) -> None:
    film = recording(tmp_path / "eye.mp4", 90, "30", *X264)
    case = case_of(film, tags=(frames_of(film, "core", 45, 60),))
    (clip,), notes = write_clips(case, tmp_path / "c.jsonld", case.tags, tmp_path, "copy")
    assert notes == (f"{clip.name} begins 0.500 s before its tag, at a key frame",)
    numbers = numbers_in(clip)
    assert numbers[0] == 30
    assert numbers[:30] == list(range(30, 60))
    assert all(60 <= number <= 63 for number in numbers[30:])  # what frames within were decoded from


def test_across_a_border_the_clip_is_joined(tmp_path: Path) -> None:
    one = recording(tmp_path / "one.mp4", 60, "30", *X264)
    two = recording(tmp_path / "two.mp4", 60, "25", *X264, first=500)
    border = read_index(one).end
    start, end = frames_of(one, "core", 50, 60).start, frames_of(two, "core", 0, 8, border).end
    case = case_of(one, two, tags=(tag("core", start, end),))
    (clip,), notes = write_clips(case, tmp_path / "c.jsonld", case.tags, tmp_path)
    assert numbers_in(clip) == [*range(50, 60), *range(500, 508)]
    assert notes == ()
    assert write_clips(case, tmp_path / "c.jsonld", case.tags, tmp_path, "copy")[0] == []


def test_pictures_of_two_sizes_are_refused(tmp_path: Path) -> None:
    one = recording(tmp_path / "one.mp4", 20, "30", *X264)
    two = recording(tmp_path / "two.mp4", 20, "30", *X264, "-vf", "scale=160:90")
    case = case_of(one, two, tags=(tag("core", 300, 900),))
    with pytest.raises(MediaError, match="another picture size"):
        write_clips(case, tmp_path / "c.jsonld", case.tags, tmp_path)
    assert set(tmp_path.iterdir()) == {one, two}


def test_a_recording_without_sound_gives_a_clip_without(tmp_path: Path) -> None:
    film = recording(tmp_path / "eye.mp4", 40, "30", *X264, sound=False)
    case = case_of(film, tags=(frames_of(film, "core", 3, 9),))
    (clip,), notes = write_clips(case, tmp_path / "c.jsonld", case.tags, tmp_path)
    assert (numbers_in(clip), notes) == (list(range(3, 9)), ())


def test_a_moment_has_no_clip(tmp_path: Path) -> None:
    film = recording(tmp_path / "eye.mp4", 40, "30", *X264)
    case = case_of(film, tags=(tag("bleeding", 500, 500), tag("core", 90_000, 95_000)))
    written, notes = write_clips(case, tmp_path / "c.jsonld", case.tags, tmp_path)
    assert written == []
    assert ["moment" in notes[0], "outside" in notes[1]] == [True, True]


def test_stopping_leaves_nothing(tmp_path: Path) -> None:
    film = recording(tmp_path / "eye.mp4", 90, "30", *X264)
    case = case_of(film, tags=(frames_of(film, "core", 3, 9), frames_of(film, "shave", 10, 60)))
    reports: list[float] = []

    def stop_in_the_second(done: float, total: float) -> None:
        reports.append(done / total)
        if done >= 2:  # reading the frames comes first
            raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        write_clips(case, tmp_path / "c.jsonld", case.tags, tmp_path, progress=stop_in_the_second)
    assert list(tmp_path.iterdir()) == [film]
    assert reports == sorted(reports)


def test_stopping_leaves_what_was_there(tmp_path: Path) -> None:
    """An earlier clip of the same name gives way at the very end, if so asked, or not at all."""
    film = recording(tmp_path / "eye.mp4", 60, "30", *X264)
    case = case_of(film, tags=(frames_of(film, "core", 3, 9), frames_of(film, "shave", 10, 20)))
    earlier = recording(tmp_path / "00-00-00.100-core.mp4", 5, "30", *X264)
    before = earlier.read_bytes()

    def stop_in_the_second(done: float, _total: float) -> None:
        if done >= 2:  # reading the frames comes first
            raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        write_clips(case, tmp_path / "c.jsonld", case.tags, tmp_path, progress=stop_in_the_second, replace=True)
    assert set(tmp_path.iterdir()) == {film, earlier}
    assert earlier.read_bytes() == before
    written, _ = write_clips(case, tmp_path / "c.jsonld", case.tags[:1], tmp_path, replace=True)
    assert written == [earlier]
    assert numbers_in(earlier) == list(range(3, 9))


def test_what_a_copy_would_begin_with_is_known_before(tmp_path: Path) -> None:
    """A key frame every 30 frames: the tag at frame 45 begins 15 frames of 1/30 s after one, the one at 60 on one."""
    film = recording(tmp_path / "eye.mp4", 90, "30", *X264)
    tags = (frames_of(film, "core", 45, 50), frames_of(film, "shave", 60, 70), tag("bleeding", 500, 500))
    case = case_of(film, tags=tags)
    assert starts_of_copies(case, tmp_path / "c.jsonld", tags) == [500, 0]


def test_a_copy_is_matroska_where_its_source_is_not_what_its_name_says(tmp_path: Path) -> None:
    """Such as VP9 that was renamed to .mov, which a .mov file does not take."""
    film = recording(tmp_path / "eye.webm", 60, "30", *VP9).rename(tmp_path / "eye.mov")
    case = case_of(film, tags=(frames_of(film, "core", 15, 30),))
    (clip,), _ = write_clips(case, tmp_path / "c.jsonld", case.tags, tmp_path, "copy")
    assert clip.suffix == ".mkv"
    assert numbers_in(clip)[:15] == list(range(15, 30))
