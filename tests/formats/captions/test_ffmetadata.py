"""FFmpeg's metadata text: https://ffmpeg.org/ffmpeg-formats.html#Metadata-2 ; read back by FFmpeg itself."""

import re
import subprocess
from pathlib import Path

import imageio_ffmpeg
import pytest

from annotator.errors import InvalidFile
from annotator.formats.captions.ffmetadata import dumps
from annotator.plain_text import one_line
from tests.formats.titled import Titled

TITLES = ["Port placement", "a=b; c#d \\ e\nf", "[CHAPTER]", "; not a comment", "\u202eturned", "眼 & <b>", "title=x\\"]


def test_a_file_of_two_chapters_to_the_byte() -> None:
    assert dumps([Titled(1_500, 9_000, "Core; vitrectomy"), Titled(0, 1_500, "Ports")]) == (
        ";FFMETADATA1\n"
        "[CHAPTER]\nTIMEBASE=1/1000\nSTART=0\nEND=1500\ntitle=Ports\n"
        "[CHAPTER]\nTIMEBASE=1/1000\nSTART=1500\nEND=9000\ntitle=Core\\; vitrectomy\n"
    )
    assert dumps([]) == ";FFMETADATA1\n"


def test_overlapping_chapters_are_refused_with_both_names() -> None:
    with pytest.raises(InvalidFile, match=r"“Inner” starts at 00:00:01.*, before “Outer” ends"):
        dumps([Titled(0, 5_000, "Outer"), Titled(1_000, 2_000, "Inner")])


def test_ffmpeg_reads_every_title_and_time_back(tmp_path: Path) -> None:
    chapters = [Titled(at * 1_001, (at + 1) * 1_001, title) for at, title in enumerate(TITLES)]
    text, again = tmp_path / "chapters.txt", tmp_path / "again.txt"
    text.write_text(dumps(chapters), encoding="utf-8", newline="\n")
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-f", "ffmetadata", "-i", str(text)]
    subprocess.run(
        [*command, "-f", "ffmetadata", str(again)], check=True, capture_output=True, stdin=subprocess.DEVNULL
    )
    assert read_back(again.read_text(encoding="utf-8")) == [
        (one.start, one.end, one_line(one.title)) for one in chapters
    ]


def read_back(text: str) -> list[tuple[int, int, str]]:
    """Chapters of a metadata text by its documented rules: a backslash takes the next character as it is.

    A blank at the end of a title does not count.
    """
    sections = [
        dict(line.split("=", 1) for line in section.splitlines() if "=" in line)
        for section in text.split("[CHAPTER]\nTIMEBASE")[1:]
    ]
    return [(int(one["START"]), int(one["END"]), re.sub(r"\\(.)", r"\1", one["title"]).rstrip()) for one in sections]
