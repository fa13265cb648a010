"""An invented library to try on: the cases of a unit that there never was, over two years, without recordings.

`invented` gives the same cases for the same seed. What was planted in them is said in constants, so that a test can
tell whether the program finds it: how fast a step gets shorter, from which case on a technique is used, how far the
second tagger is from the first, and of how many cases the consent is withdrawn.

Run as `python -m sample_media.library FOLDER`: `cases/` there is the library, `second-tagger/` the same operations
tagged once more by another person.
"""

import sys
from collections.abc import Iterator, Sequence
from hashlib import sha256
from math import exp
from pathlib import Path
from random import Random
from typing import NamedTuple
from uuid import UUID

from msgspec.structs import replace

from annotator.errors import AnnotatorError
from annotator.model.case import Case, Eye, Tag
from annotator.model.edits import set_fact
from annotator.model.facts import KnownFacts
from annotator.model.recording import Recording
from annotator.model.roles import Roles
from annotator.model.tag_list import in_order
from annotator.model.timecode import SECOND, Ms
from annotator.model.vocabulary import Vocabulary
from annotator.store.facts import find_facts
from annotator.store.roles import find_roles
from annotator.store.session import Session
from annotator.store.vocabularies import find

CASES = 40
FIRST_YEAR, MONTHS = 2024, 24

LEARNED = "inner-limiting-membrane-peeling"
LEARNED_FIRST: Ms = 600 * SECOND
LEARNED_EXPONENT = -0.25
LEARNED_SCATTER = 0.15
"""Time of LEARNED in case n: LEARNED_FIRST · n ** LEARNED_EXPONENT, times e to the power of a normal deviate."""

TECHNIQUE = "pinch-and-peel"
TECHNIQUE_BEFORE = "scrape-and-peel"
CHANGED_AT = 21
"""From this case on the one technique during LEARNED, before it the other."""

WITHDRAWN = 3
"""Cases of which the consent is withdrawn."""

TWICE = 12
"""Cases that a second person tags too: the first ones."""

EDGE_SCATTER: Ms = 800
"""Standard deviation of the second tagger's edges from the first's."""

NOT_SEEN = "inner-limiting-membrane-staining"
NOT_SEEN_EACH = 4
"""The second tagger leaves this step out in every fourth case."""

_BEFORE = (("port-placement", 150), ("core-vitrectomy", 420), ("posterior-hyaloid-separation", 200), (NOT_SEEN, 75))
_AFTER = (("fluid-air-exchange", 180), ("gas", 90), ("port-removal", 120))
"""The other steps, and how many seconds each takes, more or less."""

_SCATTER = 0.2
_EVENTS = (("bleeding", 0.2), ("iatrogenic-break", 0.1))
_START = "2026-01-01T08:00:00Z"


class Unit(NamedTuple):
    """What all cases share."""

    vocabulary: Vocabulary
    roles: Roles
    facts: KnownFacts


class Twice(NamedTuple):
    """The cases as the first person tagged them, and some of them as a second did."""

    first: tuple[Case, ...]
    second: tuple[Case, ...]


def invented(seed: int = 1) -> Twice:
    """The cases of the unit, in order of their number."""
    random = Random(seed)
    unit = Unit(find("vitreoretinal"), find_roles(own=False), find_facts())
    withdrawn = set(random.sample(range(TWICE + 1, CASES + 1), WITHDRAWN))
    times = learned_times(random)
    first = tuple(
        _case(random, unit, number, time, withdrawn=number in withdrawn) for number, time in enumerate(times, 1)
    )
    second = tuple(_tagged_again(random, case, number) for number, case in enumerate(first[:TWICE], 1))
    return Twice(first, second)


def learned_times(random: Random) -> list[Ms]:
    """How long LEARNED takes in each case."""
    return [
        round(LEARNED_FIRST * number**LEARNED_EXPONENT * exp(random.gauss(0, LEARNED_SCATTER)))
        for number in range(1, CASES + 1)
    ]


def write(folder: Path, seed: int = 1) -> int:
    """Write the cases below a folder; returns how many. Raises StoreError where one is there already."""
    cases = invented(seed)
    for name, written in (("cases", cases.first), ("second-tagger", cases.second)):
        (folder / name).mkdir(parents=True, exist_ok=True)
        for number, case in enumerate(written, 1):
            Session.create(folder / name / f"case-{number:02}.case.jsonld", case).close()
    return len(cases.first) + len(cases.second)


def _case(random: Random, unit: Unit, number: int, learned: Ms, *, withdrawn: bool) -> Case:
    trainee = random.random() < number / CASES
    spans = list(_spans(random, learned))
    tags = [_tag(random, unit, name, start, end, _performer(name, trainee)) for name, start, end in spans]
    start, end = next((start, end) for name, start, end in spans if name == LEARNED)
    technique = TECHNIQUE if number >= CHANGED_AT else TECHNIQUE_BEFORE
    tags.append(_tag(random, unit, technique, start, end))
    for event, chance in _EVENTS:
        if random.random() < chance:
            at = random.randrange(start, end)
            tags.append(_tag(random, unit, event, at, at))
    case = Case(
        id=_id(random),
        title=f"Invented case {number}",
        vocabulary=unit.vocabulary,
        recordings=(_recording(random, number, spans[-1][2] + 5 * SECOND),),
        tags=in_order(tags),
        eye=random.choice(list(Eye)),
        kind="macular",
        roles=unit.roles,
    )
    for name, said in _facts(random, number, trainee=trainee, withdrawn=withdrawn):
        case = set_fact(case, unit.facts, unit.facts.meant(name, said)).case
    return case


def _spans(random: Random, learned: Ms) -> Iterator[tuple[str, Ms, Ms]]:
    """The steps one after the other, with a pause between them."""
    at = 10 * SECOND
    for notation, usual in (*_BEFORE, (LEARNED, 0), *_AFTER):
        time = learned if notation == LEARNED else round(usual * SECOND * exp(random.gauss(0, _SCATTER)))
        yield notation, at, at + time
        at += time + random.randrange(2 * SECOND, 20 * SECOND)


def _facts(random: Random, number: int, *, trainee: bool, withdrawn: bool) -> Iterator[tuple[str, str]]:
    months = (number - 1) * MONTHS // CASES
    yield "case-number", str(number)
    yield "month", f"{FIRST_YEAR + months // 12}-{months % 12 + 1:02}"
    yield "finding", random.choice(["macular-hole", "epiretinal-membrane"])
    yield "lens-status", random.choice(["phakic", "pseudophakic"])
    yield "gauge", "25-gauge" if random.random() < 0.8 else "27-gauge"
    yield "tamponade", "sf6"
    yield "gas-strength", "20"
    yield "earlier-surgery", "primary"
    yield "supervision", random.choice(["hands-on", "in-the-room"]) if trainee else "shared"
    yield "difficulty", f"difficulty-{random.choice([1, 2, 2, 2, 3, 3, 4])}"
    yield "consent", "consent-withdrawn" if withdrawn else "consent-given"
    yield "consent-scope", "own-department"


def _performer(notation: str, trainee: bool) -> str:
    return "trainee" if trainee or notation in ("port-placement", "core-vitrectomy", "port-removal") else "teacher"


def _tag(random: Random, unit: Unit, notation: str, start: Ms, end: Ms, performer: str | None = None) -> Tag:
    iri = next(concept.iri for concept in unit.vocabulary.concepts if concept.notation == notation)
    return Tag(_id(random), iri, start, end, performer, author="First tagger", created=_START, modified=_START)


def _tagged_again(random: Random, case: Case, number: int) -> Case:
    """The same operation as another person tags it: edges elsewhere, and a step not seen now and then."""
    left_out = NOT_SEEN if number % NOT_SEEN_EACH == 0 else ""
    seen = [tag for tag in case.tags if not left_out or _notation(case, tag) != left_out]
    tags = [_moved(random, tag) for tag in seen]
    return replace(case, id=_id(random), tags=in_order(tags), blind_to=case.id, is_done=True)


def _moved(random: Random, tag: Tag) -> Tag:
    start = max(0, tag.start + round(random.gauss(0, EDGE_SCATTER)))
    end = start if tag.end in (None, tag.start) else tag.end + round(random.gauss(0, EDGE_SCATTER))
    return replace(tag, id=_id(random), start=start, end=max(end, start), author="Second tagger")


def _notation(case: Case, tag: Tag) -> str:
    concept = case.concept_of(tag)
    return concept.notation if concept else ""


def _recording(random: Random, number: int, duration: Ms) -> Recording:
    """A recording that is nowhere; both taggers' cases name the same content."""
    digest = sha256(random.randbytes(32)).hexdigest()
    return Recording(_id(random), f"invented-{number:02}.mp4", f"sha256-samples-1:{duration}:{digest}", duration)


def _id(random: Random) -> str:
    return UUID(int=random.getrandbits(128), version=4).urn


def main(arguments: Sequence[str]) -> int:
    """The folder to write to, and a seed if wanted. Returns the exit status."""
    if not 1 <= len(arguments) <= 2 or not all(one.isdecimal() for one in arguments[1:]):
        sys.stderr.write("python -m sample_media.library FOLDER [SEED]: name the folder to write the cases to\n")
        return 2
    try:
        count = write(Path(arguments[0]), *map(int, arguments[1:]))
    except (AnnotatorError, OSError) as error:
        sys.stderr.write(f"{error}\n")
        return 2
    sys.stderr.write(f"wrote {count} invented cases to {arguments[0]}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
