"""The facts of a recording, against how it was made and against ffprobe."""

import json
import shutil
import subprocess
from fractions import Fraction
from pathlib import Path

import pytest

from annotator.errors import MediaError
from annotator.media import probe as probe_module
from annotator.media.index.reader import read_index
from annotator.media.probe import probe
from annotator.model.recording import ContainerChapter
from tests.media.films import FILMS, Films, ffmpeg

needs_ffprobe = pytest.mark.skipif(shutil.which("ffprobe") is None, reason="ffprobe is not installed")

CODECS = {
    "h264.mp4": ("h264", 8), "h264_10bit.mp4": ("h264", 10), "hevc.mp4": ("hevc", 8), "hevc_10bit.mkv": ("hevc", 10),
    "mpeg2.ts": ("mpeg2video", 8), "mpeg2.mpg": ("mpeg2video", 8), "mpeg4.avi": ("mpeg4", 8), "mjpeg.avi": ("mjpeg", 8),
    "prores.mov": ("prores", 10), "vp8.webm": ("vp8", 8), "vp9.webm": ("vp9", 8), "vp9_10bit.webm": ("vp9", 10),
    "av1.mp4": ("av1", 8), "av1_10bit.mkv": ("av1", 10), "avchd.mts": ("h264", 8),
}  # fmt: skip


@pytest.mark.parametrize("name", list(CODECS))
def test_codec_and_depth(name: str, film: Films) -> None:
    facts = probe(film(name))
    assert (facts.video_codec, facts.bit_depth) == CODECS[name]


@pytest.mark.parametrize("name", list(FILMS))
def test_size_frames_length_and_sound(name: str, film: Films) -> None:
    facts = probe(film(name))
    recipe = FILMS[name]
    origin = FILMS[recipe.of] if recipe.of else recipe
    assert (facts.width, facts.height) == (160, 96)
    assert facts.frames == len(recipe.numbers)
    assert (facts.audio_codec is not None) == origin.sound
    assert facts.duration == read_index(film(name)).end
    if not name.startswith("variable"):
        late = Fraction(int(read_index(film(name)).times[0]))
        assert abs(facts.duration - late - facts.frames * 1_000 / origin.exact_rate) < 1_000 / origin.exact_rate


@pytest.mark.parametrize(
    ("name", "aspect", "rotation", "mirrored"),
    [
        ("h264.mp4", Fraction(5, 3), 0, False),
        ("anamorphic.mp4", Fraction(5, 3) * Fraction(64, 45), 0, False),
        ("narrow.mkv", Fraction(5, 4), 0, False),
        ("turned90.mp4", Fraction(3, 5), 90, False),
        ("turned180.mp4", Fraction(5, 3), 180, False),
        ("turned270.mov", Fraction(3, 5) * Fraction(45, 64), 270, False),
        ("mirrored.mp4", Fraction(5, 3), 0, True),
        ("mirrored_down.mp4", Fraction(5, 3), 180, True),
        ("mirrored_turned.mp4", Fraction(3, 5), 90, True),
        ("askew30.mp4", Fraction(5, 3), 0, False),
        ("askew50.mp4", Fraction(3, 5) * Fraction(45, 64), 270, False),
        ("askew_mirrored.mp4", Fraction(3, 5), 90, True),
    ],
)
def test_shape_and_rotation(name: str, aspect: Fraction, rotation: int, mirrored: bool, film: Films) -> None:
    facts = probe(film(name))
    assert (facts.display_aspect, facts.rotation, facts.mirrored) == (aspect, rotation, mirrored)


def test_a_turn_that_is_none_by_quarters_is_said(film: Films) -> None:
    asks = "It asks to be rotated by {}°; players do quarter turns, so it is shown and cut {}"
    assert asks.format(330, "as stored") in probe(film("askew30.mp4")).warnings
    assert asks.format(310, "rotated by 270°") in probe(film("askew50.mp4")).warnings
    assert not [said for said in probe(film("turned90.mp4")).warnings if "asks" in said]


@pytest.mark.parametrize(("name", "start"), [("h264.mp4", 0), ("late.mkv", 7_123)])
def test_the_zero_of_the_container(name: str, start: int, film: Films) -> None:
    assert probe(film(name)).start == start


@pytest.mark.parametrize("name", ["late.mp4", "late.ts"])
def test_sound_that_begins_first_is_zero(name: str, film: Films) -> None:
    """7.123 s were asked for (TS adds 1.4 s); encoders of sound begin earlier than the picture by part of a frame."""
    facts = probe(film(name))
    early = 7_123 + (1_400 if name == "late.ts" else 0) - facts.start
    assert 0 < early < 50
    assert abs(int(read_index(film(name)).times[0]) - early) <= 1


@pytest.mark.parametrize("name", ["interlaced.mp4", "interlaced.mpg"])
def test_interlaced_pictures(name: str, film: Films) -> None:
    facts = probe(film(name))
    assert facts.interlaced
    assert any("interlaced" in warning for warning in facts.warnings)
    assert not probe(film("h264.mp4")).interlaced


@needs_ffprobe
@pytest.mark.parametrize("name", list(FILMS))
def test_ffprobe_says_the_same(name: str, film: Films) -> None:
    asked = ["ffprobe", "-v", "error", "-count_frames", "-show_format", "-show_streams", "-of", "json", str(film(name))]
    told = json.loads(subprocess.run(asked, capture_output=True, check=True).stdout)
    stream = next(stream for stream in told["streams"] if stream["codec_type"] == "video")
    sound = next((stream for stream in told["streams"] if stream["codec_type"] == "audio"), None)
    facts = probe(film(name))
    assert (facts.width, facts.height) == (stream["width"], stream["height"])
    assert facts.video_codec == stream["codec_name"]
    assert facts.audio_codec == (sound and sound["codec_name"])
    assert facts.frames == int(stream["nb_read_frames"])
    assert facts.interlaced == (stream.get("field_order", "progressive") in ("tt", "bb", "tb", "bt"))
    start = 1_000 * float(told["format"].get("start_time", 0))
    # Before version 8, ffprobe counts from the priming of the sound in Matroska.
    lead = read_index(film(name)).sound_lead if name.endswith((".mkv", ".webm")) else 0
    assert min(abs(facts.start - start), abs(facts.start - start - lead)) <= 1
    placed = next((data for data in stream.get("side_data_list", ()) if "rotation" in data), None)
    assert facts.mirrored == (placed is not None and is_mirrored(placed["displaymatrix"]))
    # Its angle is wrong for a mirrored picture (see FFmpeg's av_display_rotation_get), and players turn by quarters.
    if not name.startswith(("mirrored", "askew")):
        assert facts.rotation == (0 if placed is None else -placed["rotation"] % 360)


def is_mirrored(matrix: str) -> bool:
    """Whether a matrix, as ffprobe prints it in three rows, has a negative determinant."""
    (a, b, _), (c, d, _), _ = ([int(one) for one in row.split(":")[1].split()] for row in matrix.split("\n") if row)
    return a * d - b * c < 0


CHAPTERS = """;FFMETADATA1
title=A talk\\
with two lines
comment=\x1b[31mred
[CHAPTER]
TIMEBASE=1/1000
START=100
END=700
title=One
[CHAPTER]
TIMEBASE=1/1000000
START=700001
END=1400000
title=Two \u202e\x07 bells
"""


def test_chapters_and_tags_come_clean(film: Films, tmp_path: Path) -> None:
    (tmp_path / "chapters.txt").write_text(CHAPTERS, encoding="utf-8")
    path = tmp_path / "chapters.mkv"
    ffmpeg(
        "-i", str(film("h264.mkv")), "-i", str(tmp_path / "chapters.txt"), "-map_metadata", "1", "-c", "copy", str(path)
    )
    facts = probe(path)
    assert facts.chapters == (ContainerChapter(100, 700, "One"), ContainerChapter(701, 1_400, "Two bells"))
    assert facts.tags["title"] == "A talk with two lines"
    assert facts.tags["COMMENT"] == "[31mred"


def test_chapters_are_counted_from_zero_too(film: Films, tmp_path: Path) -> None:
    """FFmpeg keeps chapters on the clock of the stamps: a chapter at 7.2 s of a recording from 7.123 s is at 77 ms."""
    (tmp_path / "chapters.txt").write_text(
        CHAPTERS.replace("START=100\nEND=700", "START=7200\nEND=7400"), encoding="utf-8"
    )
    path = tmp_path / "late.mkv"
    ffmpeg(
        *("-copyts", "-i", str(film("late.mkv")), "-i", str(tmp_path / "chapters.txt")),
        *("-map_metadata", "1", "-c", "copy", "-copyts", str(path)),
    )
    assert probe(path).start == 7_123
    assert ContainerChapter(77, 277, "One") in probe(path).chapters


def test_tags_are_bounded(film: Films, tmp_path: Path) -> None:
    lines = [f"tag{number}={'x' * 5_000}" for number in range(300)]
    (tmp_path / "tags.txt").write_text("\n".join([";FFMETADATA1", *lines]), encoding="utf-8")
    path = tmp_path / "tags.mkv"
    ffmpeg("-i", str(film("h264.mkv")), "-i", str(tmp_path / "tags.txt"), "-map_metadata", "1", "-c", "copy", str(path))
    tags = probe(path).tags
    assert len(tags) == 100
    assert max(map(len, tags.values())) == 1_000


def test_a_place_in_the_tags_is_said(film: Films, tmp_path: Path) -> None:
    path = tmp_path / "place.mp4"
    ffmpeg("-i", str(film("h264.mp4")), "-c", "copy", "-metadata", "location=+00.0000+000.0000/", str(path))
    assert any("where it was recorded" in warning for warning in probe(path).warnings)


def test_no_sound_is_said(film: Films) -> None:
    assert probe(film("h264.mp4")).warnings == ("It has no sound",)
    assert probe(film("h264_b.mp4")).warnings == ()


def test_a_cover_picture_is_left_aside(film: Films, tmp_path: Path) -> None:
    cover, path = tmp_path / "cover.png", tmp_path / "covered.mp4"
    ffmpeg("-i", str(film("h264.mp4")), "-frames:v", "1", str(cover))
    ffmpeg(
        *("-i", str(cover), "-i", str(film("h264.mp4")), "-map", "0", "-map", "1", "-c", "copy"),
        *("-disposition:v:0", "attached_pic", str(path)),
    )
    facts = probe(path)
    assert (facts.video_codec, facts.frames) == ("h264", 45)
    assert "It has a cover picture, which is ignored" in facts.warnings


def test_an_index_that_is_known_is_not_read_again(film: Films, monkeypatch: pytest.MonkeyPatch) -> None:
    index = read_index(film("h264.mkv"))
    whole = probe(film("h264.mkv"))

    def never(*_: object) -> None:
        raise AssertionError

    monkeypatch.setattr(probe_module, "read_index", never)
    assert probe(film("h264.mkv"), index) == whole


def test_a_recording_of_noise(tmp_path: Path, film: Films) -> None:
    path = tmp_path / "noise.mkv"
    path.write_bytes(film("h264.mkv").read_bytes()[:300] + bytes(range(256)) * 8)
    with pytest.raises(MediaError):
        probe(path)
