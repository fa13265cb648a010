"""What published files are called: never after the recording, whose name often holds the patient's."""

import re
from collections.abc import Sequence
from itertools import count
from pathlib import Path

from annotator.model.case import Case
from annotator.publish.options import Options

USUAL = "operation"
_UNSAFE = re.compile(r"[^\w.-]+")
_LONGEST = 60
_RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)
"""Names that Windows keeps for devices, whatever ending follows."""


def safe_name(text: str) -> str:
    """A text as the beginning of a file's name on any system; `USUAL` where nothing of it is left."""
    name = _UNSAFE.sub("-", text).strip("-. ")[:_LONGEST].strip("-. ")
    return USUAL if not name or _RESERVED.fullmatch(name) else name


def planned(case: Case, options: Options, name: str) -> list[str]:
    """The names of all files and folders that these options make, in the order in which they are made."""
    found: list[str] = []
    if options.chapters:
        found += [chapters_name(options, name, facet) for facet in chapter_facets(options)]
    if options.durations:
        found += [durations_name(options, name, facet, form) for facet in options.facets for form in options.forms]
        if "csv" in options.forms and any(tag.place for tag in case.tags):
            found.append(places_name(name))
    for wanted, one in (
        (options.shared, shared_name(name)),
        (options.recording, recording_name(options, name)),
        (options.clips, clips_name(name)),
        (options.stills, stills_name(name)),
    ):
        found += [one] if wanted else []
    return found


def free_name(case: Case, options: Options, name: str, folder: Path) -> str:
    """The name itself if it may replace or there is nothing of it yet, else the first with a number that is free."""
    if options.replace:
        return name
    numbered = (name if at == 1 else f"{name}-{at}" for at in count(1))
    return next(one for one in numbered if not there(planned(case, options, one), folder))


def there(names: Sequence[str], folder: Path) -> list[str]:
    """Those of the names that the folder holds."""
    return [name for name in names if (folder / name).exists()]


def chapter_facets(options: Options) -> tuple[str, ...]:
    """Nested chapters hold several facets in one file."""
    return (options.main_facet,) if options.nested and options.facets else options.facets


def chapters_name(options: Options, name: str, facet: str) -> str:
    return f"{name}.chapters{_of(chapter_facets(options), facet)}.vtt"


def durations_name(options: Options, name: str, facet: str, form: str) -> str:
    return f"{name}.durations{_of(options.facets, facet)}.{form}"


def places_name(name: str) -> str:
    return f"{name}.places.csv"


def shared_name(name: str) -> str:
    return f"{name}.shared"


def recording_name(options: Options, name: str) -> str:
    return f"{name}.with-chapters{options.container}"


def clips_name(name: str) -> str:
    return f"{name}.clips"


def stills_name(name: str) -> str:
    return f"{name}.stills"


def _of(facets: Sequence[str], facet: str) -> str:
    """Which facet, where there is a file for each of several."""
    return f".{safe_name(facet)}" if len(facets) > 1 else ""
