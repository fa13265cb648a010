"""A chapter as the writers of chapter files ask for it."""

from typing import NamedTuple

from annotator.model.timecode import Ms


class Titled(NamedTuple):
    start: Ms
    end: Ms
    title: str
