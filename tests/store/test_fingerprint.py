"""The content of a recording, known again in a moment."""

import hashlib
import os
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.errors import StoreError
from annotator.store.fingerprint import SAMPLE, SAMPLES, SCHEME, fingerprint, size_in

WHOLE = SAMPLES * SAMPLE
"""Up to this size a file is read to its last byte."""


def test_the_scheme_is_as_documented(tmp_path: Path) -> None:
    """docs/case-file.md: `sha256-samples-1`, the size, SHA-256 of the bytes; here by hashlib over what is written."""
    path = tmp_path / "recording.mp4"
    path.write_bytes(b"a recording of eye")
    assert fingerprint(path) == f"{SCHEME}:18:{hashlib.sha256(b'a recording of eye').hexdigest()}"
    content = os.urandom(WHOLE + 12_345)
    path.write_bytes(content)
    starts = [index * (len(content) - 65_536) // 63 for index in range(64)]
    samples = b"".join(content[start : start + 65_536] for start in starts)
    assert fingerprint(path) == f"{SCHEME}:{len(content)}:{hashlib.sha256(samples).hexdigest()}"
    assert starts[0] == 0
    assert starts[-1] + 65_536 == len(content)


def test_name_and_place_make_no_difference(tmp_path: Path) -> None:
    one, other = tmp_path / "one.mp4", tmp_path / "other.mkv"
    one.write_bytes(b"same")
    other.write_bytes(b"same")
    assert fingerprint(one) == fingerprint(other)


@pytest.mark.parametrize("size", [1, 1_000, WHOLE, WHOLE + 1, 3 * WHOLE])
def test_a_recording_that_was_cut_lengthened_or_begun_anew_is_another(tmp_path: Path, size: int) -> None:
    path = tmp_path / "recording.mp4"
    content = os.urandom(size)
    found = set()
    for variant in (content, content[:-1], content + b"\0", bytes([content[0] ^ 1]) + content[1:]):
        path.write_bytes(variant)
        found.add(fingerprint(path))
    assert len(found) == 4


@pytest.mark.skipif(sys.platform == "win32", reason="files with holes")
def test_of_a_recording_of_hours_no_more_than_the_samples_are_read(tmp_path: Path) -> None:
    path = tmp_path / "recording.mp4"
    with path.open("wb") as file:
        file.truncate(40 * 1024**3)
    before = _bytes_read()
    assert size_in(fingerprint(path)) == 40 * 1024**3
    assert _bytes_read() - before < 2 * WHOLE


def _bytes_read() -> int:
    """By this process so far, as the kernel counts; nothing where it does not."""
    try:
        lines = Path("/proc/self/io").read_text("ascii").splitlines()
    except OSError:
        return 0
    return int(lines[0].removeprefix("rchar: "))


def test_what_is_no_recording_has_none(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="can't be read: there is no such"):
        fingerprint(tmp_path / "nowhere.mp4")
    with pytest.raises(StoreError, match="is not a file"):
        fingerprint(tmp_path)


@given(st.text())
def test_a_fingerprint_of_another_kind_says_no_size(text: str) -> None:
    assert size_in(text) is None
    assert size_in(f"{SCHEME}:{text}:") is None or text.isdigit()


def test_the_size_is_in_the_fingerprint() -> None:
    assert size_in(f"{SCHEME}:1234:abc") == 1234
    for odd in (f"{SCHEME}:-1:a", f"{SCHEME}:²:a", f"{SCHEME}:{'9' * 5000}:a", "sha256-samples-2:5:a"):
        assert size_in(odd) is None
