"""What a file is, by its first bytes; the magic numbers are those of the formats' own specifications."""

import pytest

from annotator.media.container.sniff import demuxer_for, what_else

TS = b"G" + b"\0" * 187

CONTAINERS = [
    (b"\0\0\0\x18ftypisom\0\0\2\0isomiso2", "mov"),
    (b"\0\0\0\x14ftypqt  \0\0\0\0qt  ", "mov"),
    (b"\0\0\x10\0moov", "mov"),
    (b"\0\0\0\x08wide\0\0\0\0mdat", "mov"),
    (b"\x1aE\xdf\xa3\x9fB\x86\x81\1", "matroska"),
    (b"RIFF\0\0\0\0AVI LIST", "avi"),
    (TS * 8, "mpegts"),
    (b"junk before" + TS * 8, "mpegts"),
    ((b"\0\0\0\1" + TS) * 8, "mpegts"),
    (b"\0\0\1\xba\x44\0\4\0\4\1", "mpeg"),
    (b"\0\0\1\xba\x21\0\1\0\1\x80", "mpeg"),
    (b"\0\0\1\xe0\0\0\x80", "mpeg"),
    (b"0&\xb2u\x8ef\xcf\x11\xa6\xd9\0\xaa\0b\xcel", "asf"),
    (b"FLV\1\5\0\0\0\x09", "flv"),
    (b"OggS\0\2", "ogg"),
]

REFUSED = [
    (b"#EXTM3U\n#EXTINF:1,\nfile:///etc/hostname\n", "points to other files"),
    (b"\xef\xbb\xbf#EXTM3U\n", "points to other files"),
    (b"ffconcat version 1.0\nfile x\n", "points to other files"),
    (b"[playlist]\nFile1=http://example.org\n", "points to other files"),
    (b'<?xml version="1.0"?>\n<MPD xmlns="urn:mpeg:dash:schema:mpd:2011">', "points to other files"),
    (b"WEBVTT\n\n00:00.000 --> 00:01.000\nhi\n", "captions"),
    (b"1\r\n00:00:01,000 --> 00:00:02,000\r\nhi\r\n", "captions"),
    (b"\0" * 128 + b"DICM\2\0\0\0", "DICOM"),
    (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "a picture"),
    (b"\xff\xd8\xff\xe0\0\x10JFIF", "a picture"),
    (b"RIFF\0\0\0\0WEBPVP8 ", "a picture"),
    (b"\0\0\0\x20ftypavif\0\0\0\0avifmif1", "a picture"),
    (b"RIFF\0\0\0\0WAVEfmt ", "sound only"),
    (b"ID3\4\0\0\0\0\0\0", "sound only"),
    (b"\0\0\1\xb3\x16\0\x90\x13", "raw stream"),
    (b"\0\0\0\1\x67\x42\0\x1e", "raw stream"),
    (b"hello, this is a letter\n", "text"),
    (bytes(range(256)), "not a recording"),
    (b"\0", "not a recording"),
]


@pytest.mark.parametrize(("head", "demuxer"), CONTAINERS)
def test_containers_are_known(head: bytes, demuxer: str) -> None:
    assert demuxer_for(head) == demuxer


@pytest.mark.parametrize(("head", "says"), REFUSED)
def test_everything_else_is_refused_and_named(head: bytes, says: str) -> None:
    assert demuxer_for(head) is None
    assert says in what_else(head)


@pytest.mark.parametrize("length", range(16))
def test_short_heads_are_no_trouble(length: int) -> None:
    for head, _ in CONTAINERS + REFUSED:
        demuxer_for(head[:length])
        assert what_else(head[:length])
