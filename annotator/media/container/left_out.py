"""What a recording's file says of itself beside picture and sound, told by name and never by value."""

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Final

from av.container import InputContainer
from av.stream import Stream

from annotator.media.container.opening import opened, picture_stream
from annotator.media.container.user_data import user_data
from annotator.plain_text import plain

_OF_THE_CONTAINER: Final = {
    *("major_brand", "minor_version", "compatible_brands", "encoder", "vendor_id", "language", "duration"),
    *("bps", "number_of_frames", "number_of_bytes"),
}
"""Tags that FFmpeg makes up for any file, and those that each container has; nobody is named in them."""

_NAMELESS: Final = frozenset({"", "videohandler", "soundhandler", "subtitlehandler", "core media video", "handler"})

_CAMERA: Final = bytes.fromhex("17ee8c60f84d11d98cd60800200c9a66") + b"MDPM"
"""How AVCHD cameras begin what they write into the pictures themselves, as user data: date and time, often make
and place. Common practice, no source."""


def left_out_of(path: Path) -> tuple[str, ...]:
    """A sentence on what a copy of picture and sound alone leaves out; none where the file says nothing of itself."""
    with opened(path) as container:
        said = _said_of_itself(container)
    return (f"left out of the copy of “{plain(path.name)}”: {plain(', '.join(said))}",) if said else ()


def kept_of(path: Path, container: InputContainer, tracks: Iterable[Stream]) -> tuple[str, ...]:
    """A sentence on what a copy of these tracks keeps that was made to keep all; none where nothing is said."""
    said = _tags(container, tracks)
    if not said:
        return ()
    return (f"kept in the copy of “{plain(path.name)}”: {plain(', '.join(said))}; it may name a patient",)


def stays_in_pictures(path: Path) -> tuple[str, ...]:
    """A sentence on what a recorder wrote into the pictures themselves, which a copy keeps; none where it did not."""
    with opened(path) as container:
        found = list(user_data(container, picture_stream(container, path)))
    if not found:
        return ()
    is_of_camera = any(data.startswith(_CAMERA) for data in found)
    what = (
        "the camera's date and time, and perhaps its place"
        if is_of_camera
        else "hidden data from the recorder, which may name somebody"
    )
    return (
        f"the video of “{plain(path.name)}” itself contains {what}; "
        "a copy keeps it, so re-encode the recording to remove it",
    )


def _said_of_itself(container: InputContainer) -> tuple[str, ...]:
    """The names of the tags of a file and its tracks that say something, in alphabetical order, and its chapters."""
    chapters = len(container.chapters())
    return (*_tags(container, container.streams), *([f"{chapters} chapter{'s' * (chapters != 1)}"] if chapters else []))


def _tags(container: InputContainer, tracks: Iterable[Stream]) -> tuple[str, ...]:
    tagged = (container.metadata, *(stream.metadata for stream in tracks))
    return tuple(sorted({name for metadata in tagged for name in _telling(metadata)}))


def _telling(metadata: Mapping[str, str]) -> Iterator[str]:
    for name, value in metadata.items():
        word = name.lower()
        if word in _OF_THE_CONTAINER or word.startswith("_statistics"):
            continue
        if word != "handler_name" or value.strip().lower() not in _NAMELESS:
            yield name
