"""The recordings that a case file names, read without the rest of it."""

from codecs import BOM_UTF8

import msgspec

from annotator.errors import InvalidFile
from annotator.formats.case.casefile import MOST_RECORDINGS
from annotator.formats.case.upgrades import NAME
from annotator.model.recording import Recording


class _Named(msgspec.Struct):
    path: str = ""
    fingerprint: str = ""


class _Document(msgspec.Struct, rename="camel"):
    schema_name: object = None
    recordings: list[_Named] = []


def is_of_case(head: bytes) -> bool:
    """Whether the first bytes of a file say that it is a case, as all that the program writes do."""
    return f'"{NAME}"'.encode() in head


def loads(data: bytes) -> tuple[Recording, ...] | None:
    """Where each recording was last seen, and what it is known by; the rest of them is left out.

    None for the JSON of anything but a case. Raises InvalidFile for what can't be read.
    """
    try:
        found = msgspec.json.decode(data.removeprefix(BOM_UTF8), type=_Document)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        raise InvalidFile("This is not readable JSON", [str(error)]) from error
    if found.schema_name != NAME:
        return None
    if len(found.recordings) > MOST_RECORDINGS:
        raise InvalidFile("This case can't be read", [f"it names more than {MOST_RECORDINGS:,} recordings"])
    return tuple(Recording("", one.path, one.fingerprint, 0) for one in found.recordings)
