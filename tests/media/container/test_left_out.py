"""What came along with a recording stays out of its copy, is told by name, and is kept only where that is asked for."""

from collections.abc import Callable
from pathlib import Path

import av
import numpy as np
import pytest
from av.stream import Disposition

from annotator.media.container.left_out import left_out_of
from annotator.media.pictures.opencv import cv2
from annotator.media.survey import survey
from annotator.media.write.clip import cut_exactly
from annotator.media.write.piece import Piece
from annotator.media.write.remux import with_chapters
from tests.media.films import Films, ffmpeg

NAME = "Quillon"
NAMED = [
    *("-metadata", f"title={NAME}", "-metadata", f"artist={NAME}", "-metadata", "location=+48.1+011.5/"),
    *("-metadata", "creation_time=2026-01-02T03:04:05Z", "-metadata", f"comment={NAME} 99173"),
    *("-metadata:s:v:0", f"handler_name={NAME} camera", "-metadata:s:v:0", "timecode=10:11:12:13"),
    *("-metadata:s:a:0", f"title={NAME} speaks"),
]
CHAPTERS = ";FFMETADATA1\n[CHAPTER]\nTIMEBASE=1/1000\nSTART=0\nEND=700\ntitle=Core\n"
OF_THE_CONTAINER = {"major_brand", "minor_version", "compatible_brands", "encoder", "language", "vendor_id", "duration"}


@pytest.fixture(scope="module")
def named(film: Films, tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Path]:
    """A recording of one of two containers with a name in every place that there is for one."""
    folder = tmp_path_factory.mktemp("named")

    def made(ending: str) -> Path:
        path = folder / f"source{ending}"
        if path.exists():
            return path
        (folder / "chapters.txt").write_text(CHAPTERS.replace("Core", NAME), encoding="utf-8")
        (folder / "note.txt").write_text(f"{NAME}, 99173", encoding="utf-8")
        (folder / "said.srt").write_text(f"1\n00:00:00,000 --> 00:00:01,000\n{NAME}\n", encoding="utf-8")
        cv2.imwrite(str(folder / "cover.jpg"), np.full((16, 16, 3), 200, dtype=np.uint8))
        inputs = ["-i", str(film("h264_b.mp4")), "-i", str(folder / "chapters.txt"), "-i", str(folder / "said.srt")]
        tracks = ["-map", "0:v", "-map", "0:a", "-map", "2:s", "-map_chapters", "1", "-c", "copy"]
        if ending == ".mkv":
            attached = ["-attach", str(folder / "note.txt"), "-metadata:s:t", "mimetype=text/plain"]
            ffmpeg(*inputs, *tracks, *NAMED, *attached, "-metadata:s:t", f"filename={NAME}.txt", str(path))
        else:
            cover = ["-map", "3:v", "-disposition:v:1", "attached_pic", "-c:s", "mov_text"]
            ffmpeg(*inputs, "-i", str(folder / "cover.jpg"), *tracks, *cover, *NAMED, str(path))
        return path

    return made


def copy(source: Path, out: Path, *, keep_tags: bool = False) -> tuple[str, ...]:
    surveyed = survey(source)
    return with_chapters([surveyed], CHAPTERS, out, [surveyed.frames.end], keep_tags=keep_tags)


def tags_of(path: Path) -> dict[str, str]:
    with av.open(str(path)) as container:
        found = dict(container.metadata)
        for stream in container.streams:
            found |= stream.metadata
    return found


@pytest.mark.parametrize("source", [".mp4", ".mkv"])
@pytest.mark.parametrize("ending", [".mp4", ".mov", ".mkv"])
def test_nothing_of_it_comes_along(source: str, ending: str, named: Callable[[str], Path], tmp_path: Path) -> None:
    out = tmp_path / f"out{ending}"
    said = copy(named(source), out)
    data = out.read_bytes()
    for word in (NAME, "99173", "+48.1", "2026-01-02", "10:11:12:13"):
        assert word.encode() not in data
    assert NAME.encode() in named(source).read_bytes()
    left = {name.lower(): value for name, value in tags_of(out).items()}
    assert {name for name in left if not name.startswith("_statistics")} <= OF_THE_CONTAINER | {"handler_name"}
    assert left.get("handler_name", "VideoHandler") in ("VideoHandler", "SoundHandler", "SubtitleHandler")
    with av.open(str(out)) as container:
        kinds = [stream.type for stream in container.streams if stream.type not in ("video", "audio")]
        assert kinds in ([], ["data"])  # MP4 and MOV keep the new chapters in a track of their own
        assert not any(stream.disposition & Disposition.attached_pic for stream in container.streams)
        assert next(chapter["metadata"]["title"] for chapter in container.chapters()) == "Core"
    assert said[0].startswith(f"left out of the copy of “source{source}”: ")
    for word in ("title", "comment", "creation_time", "location", "timecode", "1 chapter"):
        assert word in said[0].lower(), word
    assert NAME not in " ".join(said)


def test_tracks_that_do_not_come_along_are_told(named: Callable[[str], Path], tmp_path: Path) -> None:
    assert any("(cover picture, " in one for one in copy(named(".mp4"), tmp_path / "out.mp4"))
    told = copy(named(".mkv"), tmp_path / "out.mkv")[1:]
    assert [one.split(" (")[1] for one in told] == [
        "subtitle, subrip) was left out",
        "attachment, unknown) was left out",
    ]


def test_it_is_kept_where_that_is_asked_for(named: Callable[[str], Path], tmp_path: Path) -> None:
    for ending in (".mp4", ".mkv"):
        out = tmp_path / f"out{ending}"
        said = copy(named(ending), out, keep_tags=True)
        assert not any(one.startswith("left out") for one in said)
        assert said[0].startswith(f"kept in the copy of “source{ending}”: ")
        assert said[0].endswith("; it may name a patient")
        assert "location" in said[0].lower()
        assert NAME not in " ".join(said)
        assert "chapter" not in " ".join(said), "ours have taken their place"
        kept = tags_of(out)
        assert NAME in kept.values()
        assert any(name.lower() == "location" for name in kept)
        with av.open(str(out)) as container:
            assert next(chapter["metadata"]["title"] for chapter in container.chapters()) == "Core"


def test_what_a_camera_wrote_into_the_pictures_is_told(film: Films, tmp_path: Path) -> None:
    """User data as AVCHD has it, put into H.264 by FFmpeg's own filter."""
    camera = tmp_path / "camera.mkv"
    noted = "h264_metadata=sei_user_data=17ee8c60-f84d-11d9-8cd6-0800200c9a66+MDPM\\ 2026"
    ffmpeg("-i", str(film("h264_b.mp4")), "-c", "copy", "-bsf:v", noted, str(camera))
    assert b"MDPM" in camera.read_bytes()
    (told,) = (one for one in copy(camera, tmp_path / "out.mp4") if "the video of" in one)
    assert told.startswith("the video of “camera.mkv” itself contains the camera's date and time")
    assert b"MDPM" in (tmp_path / "out.mp4").read_bytes()
    cut_exactly([Piece(survey(camera), 0, 1_000)], tmp_path / "anew.mp4")
    assert b"MDPM" not in (tmp_path / "anew.mp4").read_bytes()


@pytest.mark.parametrize(("encoder", "head"), [("libx264", b"\x06"), ("libx265", b"\x4e\x01")])
def test_what_a_recorder_wrote_into_the_pictures_is_told(
    encoder: str, head: bytes, film: Films, tmp_path: Path
) -> None:
    """User data of any kind; what encoders write of their settings, in the film as it is, names nobody."""
    plain_film, noted = tmp_path / "plain.mkv", tmp_path / "noted.mkv"
    ffmpeg("-i", str(film("h264_b.mp4")), "-c:v", encoder, "-preset", "ultrafast", "-bf", "0", "-an", str(plain_film))
    assert not [one for one in copy(plain_film, tmp_path / "one.mkv") if "pictures" in one]
    data = bytes.fromhex("00112233445566778899aabbccddeeff") + NAME.encode()
    with_unit(plain_film, noted, head + b"\x05" + bytes([len(data)]) + data + b"\x80")
    (told,) = (one for one in copy(noted, tmp_path / "two.mkv") if "the video of" in one)
    assert "may name somebody" in told
    assert NAME not in told


def with_unit(source: Path, out: Path, unit: bytes) -> None:
    """The film again, with a unit put before the first of each packet of pictures; sizes as of 4 bytes."""
    with av.open(str(source)) as read, av.open(str(out), "w") as write:
        track = write.add_stream_from_template(read.streams.video[0])
        for packet in read.demux(read.streams.video[0]):
            if not packet.size:
                continue
            again = av.Packet(len(unit).to_bytes(4, "big") + unit + bytes(packet))
            again.pts, again.dts, again.time_base = packet.pts, packet.dts, packet.time_base
            again.is_keyframe = packet.is_keyframe
            again.stream = track
            write.mux(again)


def test_of_several_recordings_nothing_comes_along(named: Callable[[str], Path], tmp_path: Path) -> None:
    parts = [tmp_path / f"{number}.mp4" for number in (1, 2)]
    for part in parts:
        part.write_bytes(named(".mp4").read_bytes())
    sources = [survey(part) for part in parts]
    out = tmp_path / "out.mp4"
    said = with_chapters(sources, CHAPTERS, out, [source.frames.end for source in sources])
    assert NAME.encode() not in out.read_bytes()
    assert [one for one in said if one.startswith("left out of the copy of “2.mp4”")]


def test_a_recording_that_says_nothing_is_told_nothing_of(film: Films, tmp_path: Path) -> None:
    bare = tmp_path / "bare.mp4"
    ffmpeg("-i", str(film("h264_b.mp4")), "-c", "copy", "-map_metadata", "-1", str(bare))
    assert left_out_of(bare) == ()
    assert copy(bare, tmp_path / "out.mp4") == ()


def test_what_may_still_be_in_the_way_is_asked_at_the_end(film: Films, tmp_path: Path) -> None:
    source = survey(film("h264.mp4"))
    out = tmp_path / "out.mp4"
    out.write_bytes(b"put there meanwhile")

    def refuse() -> None:
        assert any(one.suffix == ".part" for one in tmp_path.iterdir())
        raise ValueError("in the way")

    with pytest.raises(ValueError, match="in the way"):
        with_chapters([source], CHAPTERS, out, [source.frames.end], settling=refuse)
    assert list(tmp_path.iterdir()) == [out]
    assert out.read_bytes() == b"put there meanwhile"
