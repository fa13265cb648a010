"""The frame index of every film against a full decode, the drawn numbers, OpenCV, and ffprobe where there is one."""

import json
import shutil
import subprocess
from fractions import Fraction
from math import ceil
from pathlib import Path

import av
import numpy as np
import pytest

from annotator.errors import Cancelled, MediaError
from annotator.media.container.opening import opened, picture_stream
from annotator.media.container.packets import Mark, read_packets
from annotator.media.container.sample_table import packets_in_table
from annotator.media.index import reader as index_module
from annotator.media.index.reader import read_index
from annotator.media.pictures.opencv import cv2
from annotator.model.timecode import clock
from annotator.progress import silent
from tests.media.fields import write_fields
from tests.media.films import FILMS, TURNED, Films, ffmpeg, read_number

needs_ffprobe = pytest.mark.skipif(shutil.which("ffprobe") is None, reason="ffprobe is not installed")

UNTABLED = ["fragmented.mp4", "trimmed_between.mp4"]
TABLED = [name for name in FILMS if name.endswith((".mp4", ".mov")) and name not in UNTABLED]


def by_decoding(path: Path) -> tuple[list[Fraction], list[int]]:
    """Exact seconds from zero and the number in each picture, by decoding all of it, independent of the program."""
    with av.open(str(path)) as container:
        stream = container.streams.video[0]
        assert stream.time_base is not None
        if container.format.name == "avi":
            container.flags = 0  # PyAV asks FFmpeg to make up stamps, which for AVI come out one frame late
        zero = Fraction(container.start_time or 0, 1_000_000)
        times, numbers = [], []
        for frame in container.decode(stream):
            stamp = frame.dts if frame.pts is None else frame.pts
            assert stamp is not None
            times.append(stamp * stream.time_base - zero)
            numbers.append(read_number(frame.to_ndarray(format="rgb24").astype(np.uint8)))
    return times, numbers


@pytest.mark.parametrize("name", [name for name in FILMS if not name.startswith(TURNED)])
def test_the_index_is_what_a_full_decode_shows(name: str, film: Films) -> None:
    index = read_index(film(name))
    times, numbers = by_decoding(film(name))
    assert numbers == FILMS[name].numbers
    assert len(index) == len(times)
    # FFmpeg rounds zero to a microsecond, so that a ceiling may be one off where a time is a whole millisecond.
    assert all(abs(got - ceil(time * 1_000)) <= 1 for got, time in zip(index.times.tolist(), times, strict=True))
    assert all(
        0 <= got - time * 1_000 < 1 + Fraction(1, 1_000) for got, time in zip(index.times.tolist(), times, strict=True)
    )


@pytest.mark.parametrize("name", [name for name in FILMS if not name.startswith("variable")])
def test_constant_rates_are_exact(name: str, film: Films) -> None:
    assert read_index(film(name)).rate == FILMS[FILMS[name].of or name].exact_rate


@pytest.mark.parametrize("name", ["variable.mp4", "variable.mkv"])
def test_variable_rates_have_the_times_that_were_drawn(name: str, film: Films) -> None:
    index = read_index(film(name))
    assert index.rate is None
    exact = [Fraction(number * 1_000, 60) for number in FILMS[name].numbers]
    rounded_to = 1 if name.endswith(".mkv") else 0
    assert all(-rounded_to <= got - time < 1 for got, time in zip(index.times.tolist(), exact, strict=True))


@pytest.mark.parametrize("name", ["h264.mp4", "h264.mkv", "mpeg4.avi", "vp9.webm", "variable.mp4", "prores.mov"])
def test_opencv_counts_the_same(name: str, film: Films) -> None:
    capture = cv2.VideoCapture(str(film(name)))
    count = 0
    while capture.grab():
        count += 1
    capture.release()
    assert len(read_index(film(name))) == count


@needs_ffprobe
@pytest.mark.parametrize("name", list(FILMS))
def test_ffprobe_sees_the_same_frames(name: str, film: Films) -> None:
    ask = "format=start_time:frame=best_effort_timestamp_time"
    probed = subprocess.run(
        ["ffprobe", "-v", "error", "-select_streams", "v:0", "-show_entries", ask, "-of", "json", str(film(name))],
        capture_output=True,
        check=True,
    )
    told = json.loads(probed.stdout)
    index = read_index(film(name))
    assert len(index) == len(told["frames"])
    told_stamps = [frame.get("best_effort_timestamp_time") for frame in told["frames"]]
    if told_stamps[-1] is None:
        told_stamps.pop()  # of a program stream, ffprobe leaves the very last frame without one
    stamps = [Fraction(stamp) for stamp in told_stamps]
    times = index.times.tolist()[: len(stamps)]
    start = Fraction(told["format"].get("start_time", 0))
    # Before version 8, ffprobe counts from the priming of the sound in Matroska.
    zeros = {start, start + Fraction(index.sound_lead if name.endswith((".mkv", ".webm")) else 0, 1_000)}
    assert any(all(map(near, times, in_ms(stamps, zero))) for zero in zeros)


def in_ms(stamps: list[Fraction], zero: Fraction) -> list[Fraction]:
    return [(stamp - zero) * 1_000 for stamp in stamps]


def near(time: int, exact: Fraction) -> bool:
    """Within the ceiling, and what ffprobe cuts off by printing microseconds."""
    return abs(time - exact) < Fraction(1_002, 1_000)


@pytest.mark.parametrize("name", TABLED)
def test_the_table_of_an_mp4_says_what_reading_it_through_does(name: str, film: Films) -> None:
    with opened(film(name)) as container:
        stream = picture_stream(container, film(name))
        tabled = packets_in_table(film(name), stream.id)
        read = read_packets(container, stream, silent)
    assert tabled is not None
    seen, also = ~tabled.marked(Mark.HIDDEN), ~read.marked(Mark.HIDDEN)
    assert tabled.shown[seen].tolist() == read.shown[also].tolist()
    assert tabled.durations[seen][:-1].tolist() == read.durations[also][:-1].tolist()
    assert tabled.marked(Mark.KEY)[seen].tolist() == read.marked(Mark.KEY)[also].tolist()


@pytest.mark.parametrize("name", UNTABLED)
def test_a_table_that_does_not_settle_it_is_not_used(name: str, film: Films) -> None:
    with opened(film(name)) as container:
        assert packets_in_table(film(name), picture_stream(container, film(name)).id) is None


def test_the_table_of_another_track_or_of_none(film: Films) -> None:
    assert packets_in_table(film("h264.mp4"), 77) is None
    assert packets_in_table(film("h264.mkv"), 1) is None


@pytest.mark.parametrize("one_packet", [False, True])
@pytest.mark.parametrize("ending", [".ts", ".mp4", ".mkv"])
def test_fields_in_packets_of_their_own_make_one_picture(one_packet: bool, ending: str, tmp_path: Path) -> None:
    path = write_fields(tmp_path / "fields.ts", 25, one_packet)
    if ending != ".ts":
        ffmpeg("-i", str(path), "-c", "copy", str(path.with_suffix(ending)))
    index = read_index(path.with_suffix(ending))
    assert index.times.tolist() == list(range(0, 1_000, 40))
    assert index.end == 1_000
    assert index.rate == 25
    with av.open(str(path.with_suffix(ending))) as container:
        assert sum(1 for _ in container.decode(video=0)) == 25


def test_a_stream_cut_in_the_middle_shows_what_decodes(film: Films, tmp_path: Path) -> None:
    whole = film("open_gop.ts").read_bytes()
    path = tmp_path / "middle.ts"
    path.write_bytes(whole[len(whole) // 2 // 188 * 188 :])
    index = read_index(path)
    times, _ = by_decoding(path)
    assert index.times.tolist() == [ceil(time * 1_000) for time in times]
    assert index.times[0] > 0
    assert any("begins in the middle" in note for note in index.notes)


def test_avi_with_b_pictures_is_timed_as_decoders_hand_them_out(film: Films, tmp_path: Path) -> None:
    """AVI holds decoding stamps; QMediaPlayer was measured to show frame n at that of packet n + 2, and two fewer."""
    path = tmp_path / "b.avi"
    ffmpeg("-i", str(film("h264_b.mp4")), "-an", "-c", "copy", str(path))
    index = read_index(path)
    assert index.times.tolist() == [ceil(Fraction(number * 1_000, 30)) for number in range(2, 45)]


def test_frames_that_are_never_shown_do_not_count(film: Films, tmp_path: Path) -> None:
    """The show_frame bit of VP8 (RFC 6386, 9.1), cleared in a few packets."""
    path = tmp_path / "hidden.webm"
    with av.open(str(film("vp8.webm"))) as given, av.open(str(path), "w") as out:
        track = out.add_stream_from_template(given.streams.video[0])
        for packet in given.demux(video=0):
            if packet.size:
                data = bytearray(bytes(packet))
                if packet.pts is not None and packet.pts >= 300 and packet.pts % 5 == 0:
                    data[0] &= ~0b1_0000
                copy = av.Packet(bytes(data))
                copy.stream, copy.pts, copy.dts, copy.time_base = track, packet.pts, packet.dts, packet.time_base
                copy.is_keyframe = packet.is_keyframe
                out.mux(copy)
    times, _ = by_decoding(path)
    assert len(times) < 45
    assert read_index(path).times.tolist() == [ceil(time * 1_000) for time in times]


def test_hours_are_not_a_matter_of_size(film: Films) -> None:
    index = read_index(film("hours.mp4"))
    assert index.end == 4 * 3_600_000
    assert index.times[-1] == 239 * 60_000


@pytest.mark.parametrize(
    ("name", "share"),
    [("h264_b.mp4", 0.6), ("h264.mkv", 0.6), ("mpeg2.ts", 0.6), ("mpeg2.mpg", 0.6), ("mpeg4.avi", 0.6)],
)
def test_what_is_cut_short_is_read_as_far_as_it_goes(name: str, share: float, film: Films, tmp_path: Path) -> None:
    path = tmp_path / f"cut{film(name).suffix}"
    if name == "h264_b.mp4":
        ffmpeg("-i", str(film(name)), "-c", "copy", "-movflags", "+faststart", str(path))
    else:
        path.write_bytes(film(name).read_bytes())
    whole = read_index(path)
    with path.open("r+b") as file:
        file.truncate(int(path.stat().st_size * share))
    index = read_index(path)
    assert 0 < len(index) < len(whole)
    assert set(index.times.tolist()) < set(whole.times.tolist())


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("mpeg4.avi", "its header promises more than the file contains"),
        ("hours.mkv", "Its header says that it lasts to 04:0"),
        ("h264_b.mp4", "frames are missing"),
    ],
)
def test_what_is_cut_short_says_so(name: str, says: str, film: Films, tmp_path: Path) -> None:
    path = tmp_path / f"cut{film(name).suffix}"
    ffmpeg(
        "-i", str(film(name)), "-c", "copy", *(("-movflags", "+faststart") if name.endswith("mp4") else ()), str(path)
    )
    assert not read_index(path).notes
    with path.open("r+b") as file:
        file.truncate(path.stat().st_size // 2)
    assert any(says in note for note in read_index(path).notes)


def test_progress_runs_forward_through_the_bytes(film: Films, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("annotator.media.container.packets._BATCH", 4)
    monkeypatch.setattr("annotator.media.container.packets._REPORTS_A_SECOND", 10**9)
    told: list[tuple[float, float]] = []
    read_index(film("h264.mkv"), lambda done, total: told.append((done, total)))
    size = film("h264.mkv").stat().st_size
    assert len(told) > 5
    assert [done for done, _ in told] == sorted(done for done, _ in told)
    assert all(0 <= done <= total == size for done, total in told)


def test_reading_can_be_stopped(film: Films, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("annotator.media.container.packets._BATCH", 4)

    def stop(_done: float, _total: float) -> None:
        raise Cancelled

    with pytest.raises(Cancelled):
        read_index(film("h264.mkv"), stop)


def test_stamps_beyond_reason_are_refused(film: Films, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(index_module, "LATEST", 1_000)
    with pytest.raises(MediaError, match="time stamps beyond"):
        read_index(film("h264.mp4"))


def test_a_hole_in_a_file_whose_packets_tell_their_times_is_said(film: Films, tmp_path: Path) -> None:
    raw = film("every_key.mkv").read_bytes()
    with av.open(str(film("every_key.mkv"))) as container:
        places = [packet.pos for packet in container.demux(video=0) if packet.pos]
    path = tmp_path / "hole.mkv"
    path.write_bytes(raw[: places[10]] + bytes(places[22] - places[10]) + raw[places[22] :])
    index = read_index(path)
    gaps = np.diff(index.times)
    at = int(gaps.argmax())
    assert gaps[at] > 300
    lost = round(int(gaps[at]) * 30 / 1_000) - 1
    begin, end = (clock(int(time)) for time in index.times[at : at + 2])
    assert f"It has no frames between {begin} and {end}, where {lost} would be at its usual rate" in index.notes


@pytest.mark.parametrize("name", [name for name in FILMS if "cut" not in name])
def test_of_whole_recordings_no_gap_is_said(name: str, film: Films) -> None:
    assert not [note for note in read_index(film(name)).notes if "no frames between" in note]


def test_times_counted_in_units_of_no_length_are_refused(film: Films, tmp_path: Path) -> None:
    """A media header with a time scale of 0 (ISO/IEC 14496-12, 8.4.2), of which FFmpeg makes one picture of all."""
    raw = bytearray(film("h264_b.mp4").read_bytes())
    at = raw.index(b"mdhd") + 16
    assert int.from_bytes(raw[at : at + 4], "big") > 0
    raw[at : at + 4] = bytes(4)
    path = tmp_path / "timeless.mp4"
    path.write_bytes(raw)
    with pytest.raises(MediaError, match="its time unit has no length"):
        read_index(path)


def test_pictures_less_than_a_millisecond_apart_are_said(film: Films, tmp_path: Path) -> None:
    """Durations of one tick, as a damaged time table (stts, 8.6.1.2) has them."""
    raw = bytearray(film("h264.mp4").read_bytes())
    at = raw.index(b"stts") + 12
    raw[at + 4 : at + 8] = (1).to_bytes(4, "big")
    path = tmp_path / "hasty.mp4"
    path.write_bytes(raw)
    index = read_index(path)
    assert len(index) < 45
    assert f"{45 - len(index)} frames within a millisecond of another, not counted" in index.notes
