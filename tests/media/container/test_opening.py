"""What is let in, and what is refused with which words; nothing else may be opened on the way."""

import os
import socket
import struct
import sys
import threading
from pathlib import Path

import pytest

from annotator.errors import MediaError
from annotator.media.container import limits, opening
from annotator.media.container.opening import opened, picture_stream
from annotator.media.index.reader import read_index
from annotator.media.pictures.frames import frame_at
from annotator.media.probe import probe
from tests.media.films import Films, ffmpeg


def refused(path: Path) -> str:
    """What all three readers say; they must say the same."""
    said = set()
    for reader in (probe, read_index, lambda one: frame_at(one, 0)):
        with pytest.raises(MediaError) as raised:
            reader(path)
        said.add(str(raised.value))
    assert len(said) == 1
    return said.pop()


@pytest.mark.parametrize(
    "address",
    [
        "http://127.0.0.1:9/x.mp4",
        "rtsp://127.0.0.1/x",
        "concat:/etc/hostname",
        "pipe:0",
        "data:video/mp4;base64,AA",
        "tcp://1:2",
    ],
)
def test_addresses_are_no_files(address: str) -> None:
    assert "is an address, and nothing is downloaded" in refused(Path(address))


def test_what_is_not_there(tmp_path: Path) -> None:
    assert "There is no file" in refused(tmp_path / "nosuch.mp4")
    assert "There is no file" in refused(tmp_path / "no" / "such.mp4")
    (tmp_path / "file").write_bytes(b"x")
    assert "There is no file" in refused(tmp_path / "file" / "inside.mp4")
    assert "cannot be opened" in refused(Path("a\0b.mp4"))
    assert "cannot be opened" in refused(tmp_path / ("long" * 100))


def test_folders_and_empty_files(tmp_path: Path) -> None:
    (tmp_path / "folder.mp4").mkdir()
    assert refused(tmp_path / "folder.mp4").endswith("folder.mp4” is a folder; select the recordings inside it")
    (tmp_path / "empty.mp4").touch()
    assert "is empty" in refused(tmp_path / "empty.mp4")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no named pipes on this system")
def test_a_pipe_or_device_is_never_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.mp4")
    assert "is a device or a pipe" in refused(tmp_path / "pipe.mp4")
    assert "is a device or a pipe" in refused(Path(os.devnull))


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() == 0, reason="needs a user for whom rights count")
def test_a_file_that_may_not_be_read(tmp_path: Path) -> None:
    path = tmp_path / "locked.mp4"
    path.write_bytes(b"x")
    path.chmod(0)
    assert "you have no permission" in refused(path)


def test_a_playlist_under_a_videos_name_fetches_nothing(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        called: list[bool] = []
        server.settimeout(0.2)

        def listen() -> None:
            try:
                server.accept()
                called.append(True)
            except TimeoutError:
                pass

        listener = threading.Thread(target=listen)
        listener.start()
        port = server.getsockname()[1]
        path = tmp_path / "case.mp4"
        path.write_text(
            f"#EXTM3U\n#EXT-X-TARGETDURATION:1\n#EXTINF:1,\nhttp://127.0.0.1:{port}/a.ts\n", encoding="utf-8"
        )
        assert "points to other files" in refused(path)
        listener.join()
    assert not called


@pytest.mark.parametrize(
    "name", ["take%03d.png", "a:b.mp4", "http:x.mp4", "-i.mp4", "it's #1?.mp4", "Ünïcödé 手術.mp4", "list.m3u8"]
)
def test_a_recording_may_have_any_name(name: str, film: Films, tmp_path: Path) -> None:
    if sys.platform == "win32" and set(name) & set(':?"<>|*'):
        pytest.skip("no such name on this system")
    path = tmp_path / name
    path.write_bytes(film("h264.mp4").read_bytes())
    assert probe(path).frames == 45
    assert frame_at(path, 0).shape == (96, 160, 3)


def test_sound_without_picture(tmp_path: Path) -> None:
    path = tmp_path / "sound.mp4"
    ffmpeg("-f", "lavfi", "-i", "sine=duration=0.2", str(path))
    assert "contains sound but no picture" in refused(path)


def test_a_cover_picture_is_no_moving_picture(film: Films, tmp_path: Path) -> None:
    path = tmp_path / "song.mp4"
    cover = tmp_path / "cover.png"
    ffmpeg("-i", str(film("h264.mp4")), "-frames:v", "1", str(cover))
    ffmpeg(
        *("-f", "lavfi", "-i", "sine=duration=0.2", "-i", str(cover)),
        *("-map", "0", "-map", "1", "-c:v", "png", "-disposition:v", "attached_pic", str(path)),
    )
    assert "contains sound but no picture" in refused(path)


def test_a_codec_that_nothing_here_decodes(film: Films, tmp_path: Path) -> None:
    path = tmp_path / "unknown.mp4"
    path.write_bytes(film("h264.mp4").read_bytes().replace(b"avc1", b"zzzz"))
    assert "unknown format" in refused(path)


def test_an_mp4_whose_table_was_never_written(film: Films, tmp_path: Path) -> None:
    whole = film("h264.mp4").read_bytes()
    path = tmp_path / "power_cut.mp4"
    path.write_bytes(whole[: whole.index(b"moov") - 4])
    assert "loses power while recording" in refused(path)


def test_a_picture_beyond_bounds(film: Films, monkeypatch: pytest.MonkeyPatch) -> None:
    path = film("h264.mp4")
    monkeypatch.setattr(opening, "MAX_SIDE", 100)
    assert "160 × 96 pixels, larger than the limit" in refused(path)


def test_more_pictures_than_any_recording(film: Films, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("annotator.media.container.packets.MAX_FRAMES", 10)
    monkeypatch.setattr("annotator.media.container.packets._BATCH", 16)
    with pytest.raises(MediaError, match="more than 10 frames"):
        read_index(film("h264.mkv"))


def test_an_mp4_that_points_to_another_file_does_not_get_it(film: Films, tmp_path: Path) -> None:
    """A data reference (QuickTime File Format, “Data Reference Atoms”) of the kind that names a file."""
    secret = tmp_path / "secret.bin"
    secret.write_bytes(film("h264.mov").read_bytes())
    whole = film("h264.mov").read_bytes()
    at = whole.index(b"dref")
    size = struct.unpack(">I", whole[at - 4 : at])[0]
    entry = whole[at + 12 : at - 4 + size]
    pointing = entry.replace(b"url ", b"alis").replace(b"\0\0\0\1", b"\0\0\0\0")
    path = tmp_path / "pointing.mov"
    path.write_bytes(whole[: at + 12] + pointing + whole[at - 4 + size :])
    try:
        probe(path)
    except MediaError as error:
        assert "secret" not in str(error)


def test_names_cannot_write_to_the_terminal(tmp_path: Path) -> None:
    path = tmp_path / "a\x1b[31mred\n\u202etxt.mp4"
    try:
        path.write_bytes(b"hello there")
    except OSError:
        pytest.skip("no such name on this system")
    said = refused(path)
    assert "\x1b" not in said
    assert "\n" not in said
    assert "\u202e" not in said


def test_ffmpeg_keeps_quiet(film: Films, tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    damaged = bytearray(film("h264_b.mp4").read_bytes())
    start = damaged.index(b"mdat") + 4
    damaged[start + 2_000 : start + 6_000] = bytes(4_000)
    path = tmp_path / "damaged.mp4"
    path.write_bytes(damaged)
    probe(path)
    frame_at(path, 700)
    captured = capfd.readouterr()
    assert (captured.out, captured.err) == ("", "")


def test_the_track_that_players_show_is_chosen(film: Films, tmp_path: Path) -> None:
    """QMediaPlayer was measured to take the first track marked as default, else the first."""
    path = tmp_path / "two.mkv"
    ffmpeg(
        *("-i", str(film("h264.mp4")), "-i", str(film("hevc.mp4")), "-map", "0", "-map", "1", "-c", "copy"),
        *("-disposition:v:0", "0", "-disposition:v:1", "default", str(path)),
    )
    with opened(path) as container:
        assert picture_stream(container, path).index == 1
    facts = probe(path)
    assert facts.video_codec == "hevc"
    assert "It has 2 video tracks; the one that players show, track 1, is used" in facts.warnings


def test_bounds_are_far_from_recordings() -> None:
    assert limits.MAX_FRAMES > 24 * 3_600 * 60
    assert limits.MAX_PIXELS > 4 * 7_680 * 4_320
