"""What hypothesis draws for the tests of every room. Each room's part stands under its own heading."""

from datetime import datetime, timedelta
from fractions import Fraction
from typing import Any
from uuid import UUID

from hypothesis import strategies as st

from annotator.model.case import Case, Certainty, Eye, Tag
from annotator.model.concept_rules import Rules, UsualTime
from annotator.model.facts import EYE, Fact
from annotator.model.interval import Interval
from annotator.model.place import FIELDS
from annotator.model.recording import Recording, View
from annotator.model.roles import ROLES_OF_1_0
from annotator.model.tag_list import in_order
from annotator.model.timecode import HOUR, LATEST, Ms
from annotator.model.vocabulary import Bound, Concept, Facet, Kind, Vocabulary
from annotator.plain_text import one_line

# --- times and ranges ----------------------------------------------------------------------------------------

times = st.integers(0, LATEST)


@st.composite
def intervals(draw: st.DrawFn, latest: Ms = 60) -> Interval:
    """Ranges close together, so that they often touch, cross and coincide; some are moments."""
    start = draw(st.integers(0, latest))
    return Interval(start, draw(st.integers(start, latest)))


frame_rates = st.one_of(
    st.sampled_from([Fraction(30000, 1001), Fraction(60000, 1001), Fraction(24000, 1001), Fraction(25), Fraction(50)]),
    st.builds(Fraction, st.integers(1, 240_000), st.integers(1, 1_001)),
)

# --- cases, tags, recordings ---------------------------------------------------------------------------------

BASE = "https://surgical-step-annotator.example/vocab/drawn"

VOCABULARY = Vocabulary(
    BASE,
    "drawn",
    "1",
    {"en": "For drawn cases"},
    (
        Facet("phase", {"en": "Phase"}, exclusive=True),
        Facet("step", {"en": "Step", "de": "Schritt"}, exclusive=True),
        Facet("technique", {"en": "Technique"}),
        Facet("event", {"en": "Event"}, moments=True),
    ),
    tuple(
        Concept(f"{BASE}#{notation}", notation, facet, {"en": notation.capitalize()}, broader=broader)
        for notation, facet, broader in (
            ("vitrectomy", "phase", None),
            ("closure", "phase", None),
            ("core", "step", "vitrectomy"),
            ("shaving", "step", "vitrectomy"),
            ("removal", "step", "closure"),
            ("bimanual", "technique", None),
            ("bleeding", "event", None),
        )
    ),
)

# Halves of surrogate pairs are no characters; no file can hold them.
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)
ids = st.builds(lambda number: UUID(int=number, version=4).urn, st.integers(0, 2**128 - 1))
_seconds = st.integers(0, (datetime.max - datetime.min) // timedelta(seconds=1))
moments_in_time = _seconds.map(lambda second: f"{(datetime.min + timedelta(seconds=second)).isoformat()}Z")
places = st.frozensets(st.sampled_from(FIELDS), max_size=12)

_json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | texts,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(texts, inner, max_size=3),
    max_leaves=6,
)
unknown_keys: st.SearchStrategy[dict[str, Any]] = st.dictionaries(
    texts.map(lambda text: f"x-{text}"), _json, max_size=2
)


@st.composite
def recordings(draw: st.DrawFn, longest: Ms = 3 * HOUR) -> Recording:
    return Recording(
        id=draw(ids),
        path=draw(texts),
        fingerprint=draw(texts),
        duration=draw(st.integers(0, longest)),
        frame_rate=draw(st.none() | frame_rates),
        width=draw(st.integers(0, 8192)),
        height=draw(st.integers(0, 8192)),
        picture=draw(st.none() | st.sampled_from(View)),
        extra=draw(unknown_keys),
    )


@st.composite
def tags(draw: st.DrawFn, latest: Ms, concepts: st.SearchStrategy[str] | None = None) -> Tag:
    """A tag of any kind: with an end, running, a moment; of a known or an unknown term."""
    start = draw(st.integers(0, latest))
    end = draw(st.none() | st.just(start) | st.integers(start, latest))
    known = st.sampled_from([concept.iri for concept in VOCABULARY.concepts])
    return Tag(
        id=draw(ids),
        concept=draw(concepts if concepts is not None else known | st.just("https://elsewhere.example/terms#other")),
        start=start,
        end=end,
        performer=draw(st.none() | st.sampled_from(tuple(ROLES_OF_1_0.by_code))),
        place=draw(places),
        certainty=draw(st.sampled_from(Certainty)),
        note=draw(texts),
        confirmed=draw(st.booleans()),
        author=draw(texts | st.just("urn:uuid:0a7b2c9e-9d52-4d4e-8a35-53c1f3b0e001")),
        created=draw(st.just("") | moments_in_time),
        modified=draw(st.just("") | moments_in_time),
        extra=draw(unknown_keys),
        words=draw(texts),
        strength=draw(texts),
    )


_said = texts.map(one_line).filter(bool)
facts = st.builds(Fact, _said.filter(lambda name: name != EYE), _said, unknown_keys)


@st.composite
def cases(draw: st.DrawFn, longest: Ms = 3 * HOUR, most_tags: int = 5) -> Case:
    """Cases of one to four recordings, empty ones among them, with tags within, across borders and past the end."""
    files = draw(st.lists(recordings(longest), min_size=1, max_size=4, unique_by=lambda recording: recording.id))
    latest = sum(recording.duration for recording in files) + 1_000
    drawn = draw(st.lists(tags(latest), max_size=most_tags, unique_by=lambda tag: tag.id))
    return Case(
        id=draw(ids),
        title=draw(texts),
        vocabulary=VOCABULARY,
        recordings=tuple(files),
        tags=in_order(drawn),
        eye=draw(st.none() | st.sampled_from(Eye)),
        kind=draw(texts),
        facts=tuple(draw(st.lists(facts, max_size=3, unique_by=lambda fact: fact.name))),
        extra=draw(unknown_keys),
    )


# --- vocabularies --------------------------------------------------------------------------------------------

# What breaks a careless reader or writer: of YAML, CSV, Turtle, a spreadsheet, a terminal.
HOSTILE_TEXTS = (
    *("=cmd|' /C calc'!A0", "+1", "-2", "@sum", "'quoted", "''=x", '"', '"""', "'''", "\\", "\\\\;", ";", "a; b"),
    *("two\nlines", "\nbelow", "tab\there", " before", "after ", "\u202egnimmirt", "\u200fמשהו", "\ufeffmark"),
    *("null", "true", "~", "no", "1.10", "<<", "&a", "*a", "!!int 1", "# none", "a: b", "- a", "{", "[", "%TAG", "---"),
    *(
        "<b>",
        "&amp;",
        "-->",
        "@en",
        "^^xsd:int",
        "玻璃体切除",
        "é",
        "e\u0301",
        "😀",
        "a,b",
        "a|b",
        " ; ",
        "\u2028",
        "x" * 300,
    ),
)
_label_characters = st.one_of(st.characters(exclude_categories=["Cc", "Cs"]), st.sampled_from("\t\n"))
label_texts = st.one_of(
    st.sampled_from(HOSTILE_TEXTS),
    st.text(_label_characters, min_size=1, max_size=20),
).filter(str.strip)
languages = st.sampled_from(["en", "de", "de-AT", "no", "zh-Hant", "x-own", "und"])
labels = st.dictionaries(languages, label_texts, min_size=1, max_size=3)
notes = st.dictionaries(languages, label_texts, max_size=2)
synonyms = st.dictionaries(languages, st.lists(label_texts, max_size=3).map(tuple), max_size=2)
_words = st.text("abcdefghijklmnopqrstuvwxyz0123456789", min_size=1, max_size=4)
notations = st.lists(_words, min_size=1, max_size=3).map("-".join)


lengths = st.none() | times


@st.composite
def rules(draw: st.DrawFn, names: list[str]) -> Rules:
    """Rules of a concept as they may come, about any of the concepts of these names."""
    others = st.lists(st.sampled_from(names), max_size=2).map(tuple)
    return Rules(
        usual_time=UsualTime(draw(lengths), draw(lengths)),
        usual_place=draw(st.lists(label_texts, max_size=2).map(tuple)),
        needs_before=draw(others),
        never_with=draw(others),
        expected_with=draw(others),
        changes_performer=draw(st.booleans()),
    )


@st.composite
def concepts(
    draw: st.DrawFn, vocabulary_iri: str, place: int, names: list[str], facets: list[str], kinds: list[str]
) -> Concept:
    """The concept of one of the names, in one of the facets, tied to others as it may come."""
    implied = f"{vocabulary_iri}{'/' if '#' in vocabulary_iri else '#'}{names[place]}"
    others = st.lists(st.sampled_from(names), max_size=3).map(tuple)
    return Concept(
        iri=draw(st.sampled_from([implied, f"urn:example:{place}", f"https://elsewhere.example/ä/{place}"])),
        notation=names[place],
        facet=draw(st.sampled_from(facets)),
        pref_label=draw(labels),
        alt_label=draw(synonyms),
        definition=draw(notes),
        scope_note=draw(notes),
        broader=draw(st.none() | st.sampled_from(names)),
        key=draw(st.just("") | st.sampled_from("aB1ä=;'\"\\")),
        usually_after=draw(others),
        replaces=draw(st.lists(notations, max_size=2).map(tuple)),
        inside=draw(st.booleans()),
        begins_when=draw(notes),
        ends_when=draw(notes),
        any_phase=draw(st.booleans()),
        operating_time=draw(st.none() | st.sampled_from(Bound)),
        kinds=draw(st.lists(st.sampled_from(kinds), max_size=2).map(tuple)) if kinds else (),
        rules=draw(st.just(Rules()) | rules(names)),
    )


@st.composite
def vocabularies(draw: st.DrawFn, most_concepts: int = 6) -> Vocabulary:
    """Vocabularies that can be read, though not all that they say makes sense: rings, keys and names used twice."""
    iri = draw(st.sampled_from([BASE, "urn:example:vocab", "https://elsewhere.example/v#all", "https://ü.example/v"]))
    facets = draw(st.lists(notations, min_size=1, max_size=3, unique=True))
    names = draw(st.lists(notations, max_size=most_concepts, unique=True))
    kinds = draw(st.lists(notations, max_size=2, unique=True))
    return Vocabulary(
        iri=iri,
        name=draw(notations),
        version=draw(label_texts),
        title=draw(labels),
        facets=tuple(Facet(name, draw(labels), draw(st.booleans()), draw(st.booleans())) for name in facets),
        concepts=tuple(draw(concepts(iri, place, names, facets, kinds)) for place in range(len(names))),
        kinds=tuple(Kind(name, draw(labels)) for name in kinds),
    )


def tags_close_together(*notations: str, most: int = 14, end: Ms = 30) -> st.SearchStrategy[list[Tag]]:
    """A few tags of these concepts within some ms: they touch and cross, some are running, some go beyond the end."""
    return st.lists(
        st.builds(
            lambda number, notation, start, length: Tag(
                f"urn:{number:02}", f"{BASE}#{notation}", start, None if length is None else start + length
            ),
            st.integers(0, 20),
            st.sampled_from(notations),
            st.integers(0, end),
            st.none() | st.integers(0, 8),
        ),
        max_size=most,
        unique_by=lambda tag: tag.id,
    )
