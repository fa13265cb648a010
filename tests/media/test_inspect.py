"""`annotator inspect` from outside: names, exit status, and nothing of the file's that could write to the terminal."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from annotator.cli.inspect import command
from annotator.errors import MediaError
from tests.media.damage import zeroed
from tests.media.films import Films, ffmpeg

NAMES = """
    duration_ms frames frame_rate width height display_aspect rotation mirrored video_codec audio_codec bit_depth
    interlaced start_ms altered chapters tags warnings
"""


def inspected(path: Path, *more: str, status: int = 0) -> dict[str, object]:
    ran = CliRunner().invoke(command, [str(path), "--json", *more], catch_exceptions=False)
    assert ran.exit_code == status
    told: dict[str, object] = json.loads(ran.stdout)
    return told


def test_the_names_are_fixed(film: Films) -> None:
    told = inspected(film("ntsc.mp4"))
    assert list(told) == NAMES.split()
    assert told["frame_rate"] == "30000/1001"
    assert told["display_aspect"] == "5:3"
    assert told["duration_ms"] == 3_003
    assert told["frames"] == 90
    assert told["audio_codec"] is None


def test_a_variable_rate_is_called_so(film: Films) -> None:
    assert inspected(film("variable.mp4"))["frame_rate"] == "variable"


def test_for_reading_it_is_aligned_and_calm(film: Films, tmp_path: Path) -> None:
    path = tmp_path / "talk.mkv"
    meta = tmp_path / "meta.txt"
    meta.write_text(
        ";FFMETADATA1\ntitle=a\x1b[2Jb\n[CHAPTER]\nTIMEBASE=1/1000\nSTART=0\nEND=500\ntitle=Ports\n", encoding="utf-8"
    )
    ffmpeg("-i", str(film("h264.mkv")), "-i", str(meta), "-map_metadata", "1", "-c", "copy", str(path))
    said = CliRunner().invoke(command, [str(path)], catch_exceptions=False).stdout
    assert "\x1b" not in said
    lines = said.splitlines()
    assert "length     00:00:01.501" in lines
    assert "frames     90, 59.9401 fps" in lines
    assert "picture    160 × 96, shown 5:3" in lines
    assert "chapters   00:00:00.000 to 00:00:00.500  Ports" in lines


def test_what_is_no_recording_is_an_error(tmp_path: Path) -> None:
    (tmp_path / "letter.mp4").write_text("hello", encoding="utf-8")
    with pytest.raises(MediaError, match="is text"):
        CliRunner().invoke(command, [str(tmp_path / "letter.mp4")], catch_exceptions=False)


def test_decoding_all_tells_of_damage_that_nothing_else_shows(film: Films, tmp_path: Path) -> None:
    path = zeroed(film("every_key.mp4"), tmp_path, range(20, 25))
    assert "decoded" not in inspected(path)
    assert inspected(path)["warnings"] == ["It has no sound"]
    assert inspected(path, "--decode", status=1)["decoded"] == {
        "frames": 45,
        "undecodable": 5,
        "damaged": 0,
        "ranges": [{"start_ms": 667, "end_ms": 834, "frames": 5}],
    }
    said = CliRunner().invoke(command, [str(path), "--decode"]).stdout
    assert "decoded    5 frames do not decode, of 45:\n           00:00:00.667 to 00:00:00.834, 5 frames\n" in said


def test_decoding_all_of_a_whole_one(film: Films) -> None:
    whole: dict[str, object] = {"frames": 45, "undecodable": 0, "damaged": 0, "ranges": []}
    assert inspected(film("h264_b.mp4"), "--decode")["decoded"] == whole
    assert "all 45 frames decode" in CliRunner().invoke(command, [str(film("h264_b.mp4")), "--decode"]).stdout
