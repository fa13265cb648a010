"""How long a change takes until it is on disk, and how long a large case takes to open and to save."""

import os
import random
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

import msgspec

from annotator.formats.case import casefile
from annotator.model import edits
from annotator.model.case import Case, Tag
from annotator.model.recording import Recording
from annotator.store.atomic import write_atomically
from annotator.store.session import Session
from tests.benchmarks.measurement import Measurement, in_turn, percentile, seconds
from tests.strategies import BASE, VOCABULARY

TAGS = 50_000
CHANGES = 300
SPACING = 1_000
"""Milliseconds from one tag's start to the next; each lasts half of that."""


def measurements() -> Iterator[Measurement]:
    with TemporaryDirectory(dir=Path.cwd()) as folder:  # the system's own folder may be memory, not a disk
        path = Path(folder) / "large.case.jsonld"
        with Session.create(path, large_case()) as session:
            yield from changes(session, Path(folder) / "bare")
        yield from whole_file(path)


def large_case() -> Case:
    recording = Recording("urn:recording", "model-eye.mp4", "", TAGS * SPACING)
    return Case("urn:case", "Model eye (invented)", VOCABULARY, (recording,), tuple(map(new_tag, range(TAGS))))


def new_tag(number: int) -> Tag:
    """Every second one is a step, of which only one may be at a time; the others are techniques."""
    start = number * SPACING
    notation = "bimanual" if number % 2 else "core"
    return Tag(f"urn:tag:{number}", f"{BASE}#{notation}", start, start + SPACING // 2, note="as planned")


def changes(session: Session, bare: Path) -> Iterator[Measurement]:
    """Changes of every kind, each in turn with an append of 1 KB and its flush, the least that is needed."""
    dice = random.Random(20261124)
    taken: list[float] = []
    appended: list[float] = []
    with bare.open("ab", buffering=0) as file:

        def append() -> None:
            file.write(b"x" * 1_024)
            os.fsync(file.fileno())

        for number in range(CHANGES):
            edit = random_edit(session.case, dice, number)
            taken.append(seconds(partial(session.do, edit)))
            appended.append(seconds(append))
    for share in (0.5, 0.95):
        yield Measurement(
            f"a change in {TAGS:,} tags, on disk, {share:.0%} of them (95% to be at most 10 ms)",
            percentile(taken, share),
            "a bare append of 1 KB and its flush",
            percentile(appended, share),
        )


def random_edit(case: Case, dice: random.Random, number: int) -> edits.Edit:
    tag = dice.choice([tag for tag in case.tags if tag.end is not None and tag.end - tag.start > 10])
    end = tag.end or 0
    kinds: list[Callable[[Case], edits.Edited]] = [
        lambda case: edits.describe(case, [tag.id], note=f"change {number}"),
        lambda case: edits.move_end(case, tag.id, end - 1),
        lambda case: edits.begin(case, Tag(f"urn:begun:{number}", f"{BASE}#shaving", tag.start + 5, None)),
        lambda case: edits.split(case, tag.id, tag.start + 5, f"urn:split:{number}"),
        lambda case: edits.remove(case, [tag.id]),
    ]
    return dice.choice(kinds)


def whole_file(path: Path) -> Iterator[Measurement]:
    data = path.read_bytes()
    plain = msgspec.json.decode(data)
    case, revision = casefile.loads(data)
    opened, decoded = in_turn(lambda: Session.open(path, writable=False), lambda: msgspec.json.decode(data))
    yield Measurement(
        f"opening a case of {TAGS:,} tags (to be at most 2 s)", opened, "decoding its JSON alone", decoded
    )
    saved, encoded = in_turn(
        lambda: write_atomically(path, casefile.dumps(case, revision)),
        lambda: write_atomically(path, msgspec.json.encode(plain)),
    )
    yield Measurement(f"saving a case of {TAGS:,} tags", saved, "writing its JSON as it is", encoded)
