"""A case that shows everything a report can hold, and one whose names mean harm."""

from msgspec.structs import replace

from annotator.model.case import Case, Eye
from annotator.model.place import parse_place
from tests.measure.cases import case, tag, vocabulary

TEACHER, TRAINEE = "teacher", "trainee"

MODEL_EYE = replace(
    case(
        tag("ports", 0, 10_000, performer=TEACHER),
        tag("core", 10_000, 50_000, performer=TRAINEE),
        tag("shave", 45_000, 70_000, performer=TRAINEE),
        tag("core", 80_000, 85_000),
        tag("removal", 90_000, 100_000, performer=TEACHER),
        tag("bimanual", 20_000, 60_000),
        tag("lift", 59_000, 61_000),
        tag("bleeding", 30_000, 30_000),
        tag("pressure", 30_500, 44_000),
    ),
    title="Model eye (invented)",
    eye=Eye.RIGHT,
)

CORE_BEGINS, CORE_ENDS = "The cutter cuts in the centre.", "The centre is clear."


def saying_when(one: Case) -> Case:
    """With a vocabulary that says of one step, and of no other, when it begins and ends."""
    said = [
        replace(concept, begins_when={"en": CORE_BEGINS}, ends_when={"en": CORE_ENDS})
        if concept.notation == "core"
        else concept
        for concept in one.vocabulary.concepts
    ]
    return replace(one, vocabulary=replace(one.vocabulary, concepts=tuple(said)))


PLACED = replace(
    case(
        replace(tag("core", 0, 40_000), place=parse_place("4-5 posterior")),
        replace(tag("bimanual", 30_000, 80_000), place=parse_place("5 posterior; 12 far periphery")),
    ),
    eye=Eye.LEFT,
)
"""Worked out by hand: 5 o'clock 80 s, 4 o'clock 40 s, 12 o'clock 50 s; 80 s of 100 have a place."""

HARMFUL = (
    '=HYPERLINK("http://example.invalid","x")',
    "+1+1",
    "-1",
    "@SUM(A1)",
    "\t=1",
    "<script>alert(1)</script>",
    "</title></style><img src=x onerror=alert(1)>",
    '" onmouseover="alert(1)',
    "{{ 7 * 7 }}",
    "a,b;c\nd",
    "\u202eturned",
    "1e5",
    "http://example.invalid/x",
)


def harmful() -> Case:
    """One step for each label that has harmed a spreadsheet or a page somewhere; the title is one too."""
    base = vocabulary()
    step = base.by_notation["core"]
    concepts = tuple(
        replace(step, iri=f"{base.iri}#h{at}", notation=f"h{at}", pref_label={"en": label})
        for at, label in enumerate(HARMFUL)
    )
    tags = tuple(
        replace(tag("core", at * 2_000, at * 2_000 + 1_000), id=f"urn:h:{at}", concept=one.iri)
        for at, one in enumerate(concepts)
    )
    made = case(*tags)
    return replace(made, title=HARMFUL[6], vocabulary=replace(base, concepts=(*base.concepts, *concepts)))
