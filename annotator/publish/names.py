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


def planned(case: Case, wishes: Options, name: str) -> list[str]:
    """The names of all files and folders that these wishes make, in the order in which they are made."""
    found: list[str] = []
    if wishes.chapters:
        found += [chapters_name(wishes, name, facet) for facet in chapter_facets(wishes)]
    if wishes.durations:
        found += [durations_name(wishes, name, facet, form) for facet in wishes.facets for form in wishes.forms]
        if "csv" in wishes.forms and any(tag.place for tag in case.tags):
            found.append(places_name(name))
    for wished, one in (
        (wishes.shared, shared_name(name)),
        (wishes.recording, recording_name(wishes, name)),
        (wishes.clips, clips_name(name)),
        (wishes.stills, stills_name(name)),
    ):
        found += [one] if wished else []
    return found


def free_name(case: Case, wishes: Options, name: str, folder: Path) -> str:
    """The name itself if it may replace or there is nothing of it yet, else the first with a number that is free."""
    if wishes.replace:
        return name
    numbered = (name if at == 1 else f"{name}-{at}" for at in count(1))
    return next(one for one in numbered if not there(planned(case, wishes, one), folder))


def there(names: Sequence[str], folder: Path) -> list[str]:
    """Those of the names that the folder holds."""
    return [name for name in names if (folder / name).exists()]


def chapter_facets(wishes: Options) -> tuple[str, ...]:
    """Nested chapters hold several facets in one file."""
    return (wishes.main_facet,) if wishes.nested and wishes.facets else wishes.facets


def chapters_name(wishes: Options, name: str, facet: str) -> str:
    return f"{name}.chapters{_of(chapter_facets(wishes), facet)}.vtt"


def durations_name(wishes: Options, name: str, facet: str, form: str) -> str:
    return f"{name}.durations{_of(wishes.facets, facet)}.{form}"


def places_name(name: str) -> str:
    return f"{name}.places.csv"


def shared_name(name: str) -> str:
    return f"{name}.shared"


def recording_name(wishes: Options, name: str) -> str:
    return f"{name}.with-chapters{wishes.container}"


def clips_name(name: str) -> str:
    return f"{name}.clips"


def stills_name(name: str) -> str:
    return f"{name}.stills"


def _of(facets: Sequence[str], facet: str) -> str:
    """Which facet, where there is a file for each of several."""
    return f".{safe_name(facet)}" if len(facets) > 1 else ""
