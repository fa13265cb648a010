"""How long a library of many cases takes to be seen first, and then to be opened and asked."""

import random
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from annotator.formats.case import casefile
from annotator.library import search
from annotator.library.library import opened
from annotator.library.search import Question
from annotator.measure.over_cases.relations import Relation
from annotator.model.case import Case, Tag
from annotator.model.recording import Recording
from annotator.model.vocabulary import Vocabulary
from annotator.store.reading import read_case
from annotator.store.vocabularies import find
from tests.benchmarks.measurement import Measurement, seconds

CASES = 2_000
TAGS = 200
SPACING = 20_000
"""Milliseconds from one tag's start to the next."""


def measurements() -> Iterator[Measurement]:
    with TemporaryDirectory(dir=Path.cwd()) as place:
        folder, kept_in = Path(place) / "cases", Path(place) / "cache"
        folder.mkdir()
        write_cases(folder)
        paths = sorted(folder.iterdir())
        read_case(paths[0])
        bare = seconds(lambda: [read_case(path) for path in paths])
        first = seconds(lambda: open_and_ask(folder, kept_in, Question("delamination")))
        yield Measurement(f"the first index of {CASES:,} cases", first, "reading them", bare, aim=1.5)
        for name, question in (
            ("a step", Question("delamination")),
            ("a phase", Question("vitrectomy")),
            ("an event during a phase", Question("bleeding", [(Relation.DURING, "vitrectomy")])),
            ("words of notes", Question(words="traction edge")),
        ):
            again = seconds(partial(open_and_ask, folder, kept_in, question))
            yield Measurement(f"opening them again and finding {name} (to be at most 1 s)", again, "reading them", bare)


def open_and_ask(folder: Path, kept_in: Path, question: Question) -> None:
    with opened(folder, kept_in=kept_in) as library:
        search.find(library, question)


def write_cases(folder: Path) -> None:
    vocabulary = find("vitreoretinal")
    dice = random.Random(20261128)
    recording = Recording("urn:recording", "model-eye.mp4", "", TAGS * SPACING)
    for number in range(CASES):
        tags = tuple(new_tag(vocabulary, dice, at) for at in range(TAGS))
        case = Case(f"urn:case:{number}", "Model eye (invented)", vocabulary, (recording,), tags)
        (folder / f"{number:04}.case.jsonld").write_bytes(casefile.dumps(case, 1))


def new_tag(vocabulary: Vocabulary, dice: random.Random, number: int) -> Tag:
    concept = dice.choice(vocabulary.concepts)
    note = " ".join(dice.choices(["clear", "traction", "edge", "stained", "slow"], k=4)) if number % 4 == 0 else ""
    start = number * SPACING
    return Tag(f"urn:tag:{number}", concept.iri, start, start + SPACING // 2, note=note)
