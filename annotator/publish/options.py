"""What is to be published of a case, and in which form; kept from one time to the next."""

from typing import Literal

import msgspec

from annotator.model.vocabulary import DEFAULT_LANGUAGE

DurationForm = Literal["xlsx", "html", "csv", "json"]

ClipForm = Literal["mp4", "webm", "copy"]
"""H.264 and AAC, VP9 and Opus, or the streams as they are."""

StillForm = Literal["png", "jpg"]

PageForm = Literal["copy", "mp4", "webm"]
"""The recording of a shared page: as it is, or encoded anew as H.264 and AAC, or as VP9 and Opus."""

Container = Literal[".mp4", ".mkv", ".mov", ".webm"]


class Options(msgspec.Struct, frozen=True, omit_defaults=True):
    """One publication.

    facets      what chapters and durations are of: a file for each; recording and folder are of the `main_facet`
    language    of names, where the vocabulary has it
    nested      chapters of phases contain those of steps, and so on; all in one file
    fill        a chapter lasts until the next one starts
    forms       of the durations
    shared      a folder with a page that plays its recording in `page_form`
    recording   a copy with chapters in its `container`
    of_all      stills and clips of every tag of `facets`; else of those that were chosen
    replace     files of the same names; else the new ones get a number
    """

    facets: tuple[str, ...] = ("step",)
    language: str = DEFAULT_LANGUAGE
    chapters: bool = True
    nested: bool = False
    fill: bool = False
    durations: bool = True
    forms: tuple[DurationForm, ...] = ("xlsx", "html")
    shared: bool = False
    page_form: PageForm = "copy"
    recording: bool = False
    container: Container = ".mp4"
    clips: bool = False
    clip_form: ClipForm = "mp4"
    stills: bool = False
    still_form: StillForm = "png"
    of_all: bool = False
    replace: bool = False

    @property
    def main_facet(self) -> str:
        """Of the one list of chapters that a container holds."""
        return "step" if "step" in self.facets or not self.facets else self.facets[0]


def loads(text: str) -> Options:
    """Read what `dumps` wrote; ValueError for what it did not."""
    return msgspec.json.decode(text, type=Options)


def dumps(options: Options) -> str:
    return msgspec.json.encode(options).decode()
