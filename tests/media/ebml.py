"""Lists of chapters as Matroska keeps them (RFC 9559, 5.1.7), written byte by byte, and put into a recording."""

from pathlib import Path

UNKNOWN_SIZE = b"\x01" + b"\xff" * 7
SEGMENT, CHAPTERS, SEEK_HEAD = "18538067", "1043a770", "114d9b74"


def element(kind: str, *content: bytes | int | str) -> bytes:
    """An element with this id, of bytes, whole numbers and text."""
    inside = b"".join(map(_packed, content))
    return bytes.fromhex(kind) + (1 << 56 | len(inside)).to_bytes(8, "big") + inside


def _packed(content: bytes | int | str) -> bytes:
    if isinstance(content, int):
        return content.to_bytes(8, "big")
    return content.encode() if isinstance(content, str) else content


def title(text: str, language: str | None = None, bcp47: str | None = None) -> bytes:
    parts = [element("85", text)]
    parts += [element("437c", language)] if language else []
    parts += [element("437d", bcp47)] if bcp47 else []
    return element("80", *parts)


def atom(
    start: int,
    end: int | None = None,
    *inside: bytes,
    hidden: bool = False,
    enabled: bool = True,
    elsewhere: bool = False,
) -> bytes:
    """A chapter; times in ms."""
    parts = [element("73c4", start + 1), element("91", start * 1_000_000)]
    parts += [element("92", end * 1_000_000)] if end is not None else []
    parts += [element("98", 1)] if hidden else []
    parts += [element("4598", 0)] if not enabled else []
    parts += [element("6e67", b"\x07" * 16)] if elsewhere else []
    return element("b6", *parts, *inside)


def edition(*atoms: bytes, default: bool = False, hidden: bool = False, ordered: bool = False) -> bytes:
    flags = [element(kind, int(on)) for kind, on in (("45bd", hidden), ("45db", default), ("45dd", ordered))]
    return element("45b9", *flags, *atoms)


def with_list(source: Path, out: Path, chapters: bytes, *, at_the_end: bool = False) -> Path:
    """A copy of a Matroska file written without a list of contents, with a list of chapters in it.

    It stands before the pictures or, with a list of contents that tells so, behind them.
    """
    whole = source.read_bytes()
    at = whole.index(bytes.fromhex(SEGMENT))
    head, body = whole[:at], whole[at + 12 :]
    begin = head + bytes.fromhex(SEGMENT) + UNKNOWN_SIZE
    if not at_the_end:
        out.write_bytes(begin + chapters + body)
        return out
    length = len(_contents(0))
    out.write_bytes(begin + _contents(length + len(body)) + body + chapters)
    return out


def _contents(place: int) -> bytes:
    return element(SEEK_HEAD, element("4dbb", element("53ab", bytes.fromhex(CHAPTERS)), element("53ac", place)))
