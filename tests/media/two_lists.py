"""An MP4 whose picture refers to two tracks of chapters, as makers of films in two languages write them."""

from pathlib import Path

from tests.media.films import ffmpeg


def write_two_lists(source: Path, folder: Path) -> Path:
    """A copy with a list of chapters in one track, and captions in another that is made a second list of them."""
    captions = folder / "captions.srt"
    captions.write_text("1\n00:00:00,000 --> 00:00:01,000\nErste\n", encoding="utf-8")
    chapters = folder / "chapters.txt"
    lines = ("[CHAPTER]", "TIMEBASE=1/1000", "START={}", "END={}", "title={}")
    made = ["\n".join(lines).format(at * 500, at * 500 + 500, f"Chapter {at}") for at in range(3)]
    chapters.write_text("\n".join([";FFMETADATA1", *made]) + "\n", encoding="utf-8")
    out = folder / "two.mp4"
    inputs = ("-i", str(source), "-i", str(captions), "-i", str(chapters))
    ffmpeg(*inputs, "-map", "0:v", "-map", "1", "-map_chapters", "2", "-c:v", "copy", "-c:s", "mov_text", str(out))
    raw = bytearray(out.read_bytes())
    at = raw.index(b"chap")
    raw[at + 8 : at + 8] = (2).to_bytes(4, "big")  # the captions' number
    for kind in (b"moov", b"trak", b"tref", b"chap"):
        size = raw.index(kind) - 4
        raw[size : size + 4] = (int.from_bytes(raw[size : size + 4], "big") + 4).to_bytes(4, "big")
    out.write_bytes(raw)
    return out
