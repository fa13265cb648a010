"""What the writers of chapter files ask of a chapter."""

from typing import Protocol

from annotator.model.timecode import Ms


class Titled(Protocol):
    """A range of time with a title; half-open, in ms."""

    @property
    def start(self) -> Ms: ...
    @property
    def end(self) -> Ms: ...
    @property
    def title(self) -> str: ...
