"""All that was asked for, one after the other: each whole or not at all, and one that fails stops no other."""

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import Final, NamedTuple

from annotator.errors import AnnotatorError, Cancelled
from annotator.model.case import Case, Tag
from annotator.model.timecode import SECOND
from annotator.progress import Progress, Scaled, silent, tell
from annotator.publish import names
from annotator.publish.atomic_folder import all_at_once, folder_for
from annotator.publish.chapter_file import chapter_file
from annotator.publish.kinds import CHAPTERS, SUMMARIES
from annotator.publish.options import Options
from annotator.publish.report.summary import summary_text
from annotator.publish.share.share_folder import write_folder
from annotator.publish.video.clips import write_clips
from annotator.publish.video.recording_with_chapters import embed
from annotator.publish.video.stills import write_stills
from annotator.store.published import remember
from annotator.store.ways_out import WayOut

_PER_SECOND: Final = {"copy": 0.02, "mp4": 1.0, "webm": 2.4}
"""Seconds that a second of a recording takes in each form, as a guess for the bar; the last two were measured to
be in that proportion, with 1080p30."""


class Order(NamedTuple):
    """What to publish of which case: the tags of clips and stills, the folder, and what all names begin with.

    Frames of recordings are kept in the folder `kept_in`, or the usual one.
    """

    case: Case
    case_path: Path
    options: Options
    tags: Sequence[Tag]
    folder: Path
    name: str
    kept_in: Path | None = None


class Published(NamedTuple):
    """What came of it.

    written   files and folders, in the order in which they were made
    notes     what is to be said of them
    failures  why something was not written
    stopped   whether the work was stopped before its end
    """

    written: tuple[Path, ...]
    notes: tuple[str, ...]
    failures: tuple[str, ...]
    stopped: bool = False


class _Part(NamedTuple):
    """One thing to make: its name, about how many seconds it takes, and how it is made."""

    name: str
    weight: float
    make: Callable[[Path, Progress], Sequence[str]]


def publish(order: Order, progress: Progress = silent) -> Published:
    """Make all of it; what can't be made is told, not raised."""
    try:
        with all_at_once(order.folder):
            pass
    except AnnotatorError as error:
        return Published((), (), (str(error),))
    name = names.free_name(order.case, order.options, order.name, order.folder)
    parts = [*_quick(order, name), *_long(order, name)]
    total = sum(part.weight for part in parts)
    written: list[Path] = []
    notes: list[str] = []
    failures: list[str] = []
    done = 0.0
    for part in parts:
        try:
            tell(progress, part.name)
            progress(done, total)
            notes += part.make(order.folder / part.name, Scaled(progress, done, done + part.weight, total))
            made = [order.folder / part.name] if (order.folder / part.name).exists() else []
            written += made
            notes += remember(order.case, order.case_path, made)
        except Cancelled:
            return Published(tuple(written), tuple(dict.fromkeys(notes)), tuple(failures), stopped=True)
        except AnnotatorError as error:
            failures.append(str(error))
        done += part.weight
    return Published(tuple(written), tuple(dict.fromkeys(notes)), tuple(dict.fromkeys(failures)))


def _quick(order: Order, name: str) -> Iterator[_Part]:
    options = order.options
    if options.chapters:
        for facet in names.chapter_facets(options):
            yield _Part(names.chapters_name(options, name, facet), 0.1, partial(_chapters, order, facet))
    if options.durations:
        for facet in options.facets:
            for form in options.forms:
                yield _Part(
                    names.durations_name(options, name, facet, form), 0.1, partial(_durations, order, facet, form)
                )
        if names.places_name(name) in names.planned(order.case, options, name):
            yield _Part(
                names.places_name(name), 0.1, partial(_durations, order, options.main_facet, "csv", by_place=True)
            )


def _long(order: Order, name: str) -> Iterator[_Part]:
    options, lasts = order.options, order.case.duration / SECOND
    if options.shared:
        yield _Part(names.shared_name(name), lasts * _PER_SECOND[options.page_form] + 1, partial(_shared, order))
    if options.recording:
        yield _Part(names.recording_name(options, name), lasts * 0.02 + 1, partial(_recording, order))
    if options.clips:
        tagged = sum(order.case.range_of(tag).length for tag in order.tags) / SECOND
        each = _PER_SECOND[options.clip_form]
        yield _Part(names.clips_name(name), tagged * each + len(order.tags) * 0.4 + 0.1, partial(_clips, order))
    if options.stills:
        yield _Part(names.stills_name(name), len(order.tags) * 0.4 + 0.1, partial(_stills, order))


def _chapters(order: Order, facet: str, path: Path, _progress: Progress) -> Sequence[str]:
    options = order.options
    text, notes = chapter_file(order.case, facet, options.language, options.nested, options.fill)
    WayOut(path, CHAPTERS, order.case_path, options.replace).write(text.encode())
    return notes


def _durations(
    order: Order, facet: str, form: str, path: Path, _progress: Progress, *, by_place: bool = False
) -> Sequence[str]:
    text, notes = summary_text(order.case, form, facet, by_place=by_place, language=order.options.language)
    way = WayOut(path, SUMMARIES[form], order.case_path, order.options.replace)
    way.write(text.encode() if isinstance(text, str) else text)
    return notes


def _shared(order: Order, path: Path, progress: Progress) -> Sequence[str]:
    options = order.options
    return write_folder(
        order.case,
        order.case_path,
        path,
        form=options.page_form,
        facet=options.main_facet,
        nested=options.nested,
        language=options.language,
        progress=progress,
        kept_in=order.kept_in,
    )


def _recording(order: Order, path: Path, progress: Progress) -> Sequence[str]:
    options = order.options
    return embed(
        order.case,
        order.case_path,
        path,
        options.main_facet,
        options.language,
        progress,
        replace=options.replace,
        kept_in=order.kept_in,
    )


def _clips(order: Order, path: Path, progress: Progress) -> Sequence[str]:
    options = order.options
    with folder_for(path):
        return write_clips(
            order.case,
            order.case_path,
            order.tags,
            path,
            options.clip_form,
            progress,
            order.kept_in,
            replace=options.replace,
        )[1]


def _stills(order: Order, path: Path, progress: Progress) -> Sequence[str]:
    form = order.options.still_form
    with folder_for(path):
        return write_stills(
            order.case, order.case_path, order.tags, path, form, progress=progress, kept_in=order.kept_in
        )[1]
