"""The case of the example in `docs/case-file.md`: an invented operation on a model eye, in two recordings."""

from fractions import Fraction

from annotator.model.case import Case, Certainty, Eye, Tag
from annotator.model.concept_rules import Rules, UsualTime
from annotator.model.facts import Fact
from annotator.model.place import parse_place
from annotator.model.recording import Recording, View
from annotator.model.vocabulary import Bound, Concept, Facet, Kind, Vocabulary

VOCABULARY_IRI = "https://surgical-step-annotator.example/vocab/small"

VOCABULARY = Vocabulary(
    VOCABULARY_IRI,
    "small",
    "1",
    {"en": "A small vocabulary for the example"},
    (
        Facet("step", {"en": "Step"}, exclusive=True),
        Facet("technique", {"en": "Technique"}),
        Facet("event", {"en": "Event"}, moments=True),
    ),
    (
        Concept(f"{VOCABULARY_IRI}#vitrectomy", "vitrectomy", "step", {"en": "Vitrectomy"}),
        Concept(
            f"{VOCABULARY_IRI}#core-vitrectomy",
            "core-vitrectomy",
            "step",
            {"en": "Core vitrectomy"},
            alt_label={"en": ("core",)},
            definition={"en": "Removal of the central vitreous."},
            broader="vitrectomy",
            key="c",
            begins_when={"en": "The cutter first cuts in the middle of the eye."},
            ends_when={"en": "The middle of the eye is clear."},
            operating_time=Bound.BEGINS,
            kinds=("detachment",),
            rules=Rules(UsualTime(20_000, 1_200_000), never_with=("bleeding",)),
        ),
        Concept(
            f"{VOCABULARY_IRI}#base-shaving",
            "base-shaving",
            "step",
            {"en": "Base shaving"},
            broader="vitrectomy",
            key="b",
            usually_after=("core-vitrectomy",),
        ),
        Concept(f"{VOCABULARY_IRI}#bimanual", "bimanual", "technique", {"en": "Bimanual"}),
        Concept(f"{VOCABULARY_IRI}#bleeding", "bleeding", "event", {"en": "Bleeding"}),
    ),
    (Kind("detachment", {"en": "Detachment"}),),
)

FIRST = Recording(
    "urn:uuid:6f3b0c1e-5a1d-4a52-9f0c-2f6d3b0f1a02",
    "model-eye-1.mp4",
    "sha256-samples-1:18:6035a310ae64bd44e422e5fb07f2139b7f499bbe9c43a79c06d38c5163158ad7",
    60_000,
    Fraction(30000, 1001),
    1920,
    1080,
    picture=View.TURNED,
)
SECOND = Recording("urn:uuid:6f3b0c1e-5a1d-4a52-9f0c-2f6d3b0f1a03", "model-eye-2.mp4", "", 45_000)

CASE = Case(
    id="urn:uuid:6f3b0c1e-5a1d-4a52-9f0c-2f6d3b0f1a01",
    title="Model eye (invented)",
    vocabulary=VOCABULARY,
    recordings=(FIRST, SECOND),
    eye=Eye.LEFT,
    kind="detachment",
    facts=(Fact("finding", "retinal-detachment"), Fact("gauge", "25-gauge"), Fact("month", "2026-11")),
    tags=(
        Tag(
            id="urn:uuid:6f3b0c1e-5a1d-4a52-9f0c-2f6d3b0f1a11",
            concept=f"{VOCABULARY_IRI}#core-vitrectomy",
            start=12_480,
            end=48_049,
            performer="trainee under guidance",
            note="Watch the light: it never leaves the cutter.",
            author="Bench 2",
            created="2026-11-24T20:15:00Z",
            modified="2026-11-24T20:16:30Z",
        ),
        Tag(
            id="urn:uuid:6f3b0c1e-5a1d-4a52-9f0c-2f6d3b0f1a12",
            concept=f"{VOCABULARY_IRI}#bleeding",
            start=30_031,
            end=30_031,
            place=parse_place("4-6 mid-periphery"),
            certainty=Certainty.PROBABLE,
            confirmed=False,
            created="2026-11-24T20:17:00Z",
            modified="2026-11-24T20:17:00Z",
        ),
        Tag(
            id="urn:uuid:6f3b0c1e-5a1d-4a52-9f0c-2f6d3b0f1a13",
            concept=f"{VOCABULARY_IRI}#base-shaving",
            start=48_049,
            end=72_500,
            performer="teacher",
            created="2026-11-24T20:18:00Z",
            modified="2026-11-24T20:18:00Z",
        ),
        Tag(
            id="urn:uuid:6f3b0c1e-5a1d-4a52-9f0c-2f6d3b0f1a14",
            concept=f"{VOCABULARY_IRI}#bimanual",
            start=65_000,
            end=None,
            created="2026-11-24T20:19:00Z",
            modified="2026-11-24T20:19:00Z",
        ),
    ),
)
REVISION = 7
