"""Peaks lie where the sound is: a click at a known sample, in every form of samples, on the recording's own zero."""

import wave
from pathlib import Path

import numpy as np
import pytest

from annotator.errors import Cancelled, MediaError
from annotator.media.pictures.sound import EVERY, Peaks, read_peaks
from tests.media.films import Films, ffmpeg

RATE = 48_000
CLICKS = (0.25, 1.0, 1.503)


@pytest.fixture(scope="module")
def clicks(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two channels, silent but for one sample of half the full scale in both at each of `CLICKS`, in seconds."""
    samples = np.zeros((2 * RATE, 2), dtype="<i2")
    for at in CLICKS:
        samples[round(at * RATE)] = 1 << 14
    path = tmp_path_factory.mktemp("sound") / "clicks.wav"
    with wave.open(str(path), "wb") as file:
        file.setnchannels(2)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(samples.tobytes())
    return path


def with_picture(sound: Path, path: Path, *args: str) -> Path:
    picture = ("-f", "lavfi", "-i", "color=s=64x48:r=25:d=2", "-i", str(sound))
    ffmpeg(*picture, "-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p", *args, str(path))
    return path


def loud(peaks: Peaks, least: int = 60) -> list[float]:
    return [round(float(number) * EVERY / 1000, 3) for number in np.flatnonzero(peaks.levels >= least)]


@pytest.mark.parametrize("form", ["pcm_u8", "pcm_s16le", "pcm_s32le", "pcm_f32le", "pcm_f64le"])
def test_a_click_is_found_to_its_hundredth_of_a_second(form: str, clicks: Path, tmp_path: Path) -> None:
    peaks = read_peaks(with_picture(clicks, tmp_path / "film.mov", "-c:a", form))
    assert loud(peaks) == [0.25, 1.0, 1.5]
    assert peaks.levels.max() == pytest.approx(128, abs=2)
    assert len(peaks.levels) * EVERY == 2_000


@pytest.mark.parametrize(("ending", "codec"), [("mkv", "flac"), ("mp4", "alac"), ("mkv", "pcm_s24le")])
@pytest.mark.parametrize("late", ["0", "7.12"])
def test_stretches_count_from_the_recordings_zero(
    ending: str, codec: str, late: str, clicks: Path, tmp_path: Path
) -> None:
    film = with_picture(clicks, tmp_path / f"film.{ending}", "-c:a", codec, "-output_ts_offset", late)
    assert loud(read_peaks(film)) == [0.25, 1.0, 1.5]


def test_a_coded_click_stays_about_where_it_was(clicks: Path, tmp_path: Path) -> None:
    """AAC smears a click over some hundredths of a second, and primes with silence that is not heard."""
    film = with_picture(clicks, tmp_path / "film.mp4", "-c:a", "aac", "-b:a", "256k")
    heard = loud(read_peaks(film), least=50)
    assert heard
    assert all(min(abs(one - at) for at in CLICKS) <= 0.02 for one in heard)


def test_channels_are_mixed(clicks: Path, tmp_path: Path) -> None:
    """What is on one of two channels alone is half as loud."""
    film = with_picture(clicks, tmp_path / "film.mov", "-af", "pan=stereo|c0=c0", "-c:a", "pcm_s16le")
    assert read_peaks(film).levels.max() == pytest.approx(64, abs=2)


def test_sound_that_begins_after_the_picture(film: Films) -> None:
    peaks = read_peaks(film("picture_after_sound.mp4"))
    assert len(peaks.levels) * EVERY == pytest.approx(1_500, abs=60)


@pytest.mark.parametrize("name", ["h264.mp4", "mjpeg.avi"])
def test_without_sound_there_is_nothing(name: str, film: Films) -> None:
    assert len(read_peaks(film(name)).levels) == 0


@pytest.mark.parametrize("name", ["h264_b.mp4", "mpeg2.ts", "mpeg2.mpg", "vp9.webm", "mpeg4.avi", "late.ts"])
def test_a_tone_is_heard_to_its_end(name: str, film: Films) -> None:
    """FFmpeg's `sine` has an eighth of the full scale (its documentation), coded sound a little more or less."""
    peaks = read_peaks(film(name))
    inner = peaks.levels[10:-20]
    assert len(peaks.levels) > 100
    assert inner.min() == pytest.approx(32, abs=8)


def test_what_is_damaged_is_silent(film: Films, tmp_path: Path) -> None:
    raw = bytearray(film("h264.mov").read_bytes())
    raw[len(raw) // 3 : len(raw) // 2] = bytes(len(raw) // 2 - len(raw) // 3)
    (tmp_path / "broken.mov").write_bytes(raw)
    whole, broken = (read_peaks(path).levels for path in (film("h264.mov"), tmp_path / "broken.mov"))
    silent = np.flatnonzero((broken == 0) & (whole > 0))
    assert len(broken) == len(whole)
    assert len(silent) > 20
    assert np.array_equal(broken[: silent[0]], whole[: silent[0]])
    assert broken[silent[-1] + 1 : -1].min() > 20


def test_what_is_no_recording_is_refused(tmp_path: Path) -> None:
    (tmp_path / "words.mp4").write_text("words", encoding="utf-8")
    with pytest.raises(MediaError):
        read_peaks(tmp_path / "words.mp4")


def test_it_can_be_stopped(film: Films) -> None:
    def stop(_done: float, _total: float, /) -> None:
        raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        read_peaks(film("h264_b.mp4"), stop)


def test_the_loudest_between_times() -> None:
    peaks = Peaks(np.array([1, 9, 2, 7], dtype=np.uint8))
    assert peaks.loudest(np.array([0, 10, 30, 40, 90])).tolist() == [1, 9, 7, 0]
    assert peaks.loudest(np.array([12, 14, 18])).tolist() == [9, 9]
    assert peaks.loudest(np.array([-50, -20, 5])).tolist() == [0, 1]
    assert Peaks(np.zeros(0, dtype=np.uint8)).loudest(np.array([0, 5, 10])).tolist() == [0, 0]
