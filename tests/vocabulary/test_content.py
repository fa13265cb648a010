"""The vocabularies that travel with the program: complete, sound, and close to what is published."""

import csv
from pathlib import Path

import pytest

from annotator.errors import UnknownName
from annotator.model.vocabulary import Bound, Vocabulary
from annotator.model.vocabulary_rules import check
from annotator.store.vocabularies import find

BUILT_IN = ["vitreoretinal", "cataract", "general"]

SPOKEN = Path(__file__).with_name("spoken_words.csv")

# Common practice of the trade, no source: what a vitreoretinal surgeon must find, phase by phase.
VITREORETINAL_STEPS = {
    "access": "port placement; infusion check; chandelier placement",
    "scleral buckling": "peritomy; muscle slinging; break localisation; buckle placement; encircling band; "
    "external drainage",
    "lens surgery": "combined lens removal; pars plana lensectomy; dropped lens removal; lens implant; "
    "secondary lens fixation; posterior capsulotomy",
    "trauma surgery": "foreign body removal",
    "vitrectomy": "vitreous sampling; core vitrectomy; haemorrhage clearing; vitreous staining; "
    "posterior hyaloid separation; vitreous truncation; peripheral vitrectomy; base shaving; peripheral search",
    "membrane work": "membrane staining; segmentation; delamination; en bloc removal; epiretinal membrane peeling; "
    "inner limiting membrane staining; inner limiting membrane peeling; ILM flap; tissue plug; pvr membrane peeling; "
    "subretinal band removal",
    "subretinal work": "subretinal injection; subretinal blood evacuation",
    "reattachment": "break marking; retinotomy; drainage retinotomy; relaxing retinotomy; retinectomy; "
    "perfluorocarbon fill; subretinal fluid drainage; fluid-air exchange; perfluorocarbon removal",
    "retinopexy": "endolaser; endolaser panretinal; endolaser around breaks; endolaser all round; indirect laser; "
    "cryotherapy",
    "tamponade": "air; gas; silicone oil fill; direct oil exchange; silicone oil removal",
    "closure": "port removal; wound closure; conjunctival closure; injection",
    "supporting steps": "haemostasis; pupil expansion; anterior chamber washout; view care; pause",
}
VITREORETINAL_OTHERS = {
    "technique": "unimanual with the cutter; bimanual; lift and shave; en bloc; divide and conquer; viscodissection; "
    "pinch and peel; under air; under perfluorocarbon; with indentation; scissors dissection; blunt dissection; "
    "inside out; outside in; fluid dissection; self-indentation; with intraoperative OCT",
    "instrument": "cutter; cutter 20 G; cutter 23 G; cutter 25 G; cutter 27 G; light pipe; chandelier; forceps; pick; "
    "scissors; diathermy; laser probe; extrusion cannula; scraper; indentor; membrane loop; fragmenter; "
    "subretinal cannula; cryoprobe; infusion cannula; illuminated instrument",
    "material": "SF6; C2F6; C3F8; silicone oil 1000 cSt; silicone oil 5000 cSt; heavy silicone oil; brilliant blue; "
    "indocyanine green; trypan blue; triamcinolone; anti-VEGF agent; tissue plasminogen activator; viscoelastic",
    "event": "bleeding; iatrogenic break; lens touch; pressure raised; view lost; hypotony; instrument exchange; "
    "takeover by the teacher; membrane plane found; abandoned; suprachoroidal haemorrhage; choroidal detachment; "
    "infusion slipped; port-site break; retinal incarceration; subretinal perfluorocarbon; retinal slippage; "
    "change of plan; retina flat; traction released",
    "finding": "fibrovascular tissue; traction detachment; rhegmatogenous detachment; combined detachment; "
    "proliferative vitreoretinopathy; vitreous haemorrhage; epiretinal membrane; macular hole; retinal break",
    "view": "outside the eye; wide-angle view; macular lens view; endoscope view",
    "teaching-point": "key manoeuvre; pitfall; decision; question for the room; before/after",
}
# The keys of version 1.0, which the hand has learned.
VITREORETINAL_KEYS = {
    "p": "port-placement",
    "c": "core-vitrectomy",
    "v": "vitreous-staining",
    "h": "posterior-hyaloid-separation",
    "r": "peripheral-vitrectomy",
    "b": "base-shaving",
    "t": "membrane-staining",
    "s": "segmentation",
    "d": "delamination",
    "n": "en-bloc-removal",
    "m": "epiretinal-membrane-peeling",
    "y": "inner-limiting-membrane-staining",
    "i": "inner-limiting-membrane-peeling",
    "z": "haemostasis",
    "f": "perfluorocarbon-fill",
    "u": "subretinal-fluid-drainage",
    "x": "fluid-air-exchange",
    "e": "endolaser-panretinal",
    "a": "endolaser-around-breaks",
    "g": "gas",
    "o": "silicone-oil-fill",
    "q": "port-removal",
    "w": "wound-closure",
    "1": "bleeding",
    "2": "iatrogenic-break",
    "3": "lens-touch",
    "4": "pressure-raised",
    "5": "view-lost",
    "6": "hypotony",
    "7": "instrument-exchange",
    "8": "takeover-by-the-teacher",
    "9": "membrane-plane-found",
    "0": "key-manoeuvre",
}

# Phases of Cataract-1K, Scientific Data 2024, doi 10.1038/s41597-024-03193-4, and the step here that each is part of.
CATARACT_1K = {
    "incision": "incision",
    "viscoelastic": "viscoelastic",
    "capsulorhexis": "capsulorhexis",
    "hydrodissection": "hydrodissection",
    "phacoemulsification": "phacoemulsification",
    "irrigation-aspiration": "cortex-removal",
    "capsule polishing": "capsule-polish",
    "lens implantation": "lens-implant",
    "lens positioning": "lens-implant",
    "viscoelastic suction": "viscoelastic-removal",
    "anterior-chamber flushing": "viscoelastic-removal",
    "tonifying and antibiotics": "wound-hydration-or-suture",
    "idle": "pause",
}
# Phases of Cataract-101, 101 recordings; the names in full are from memory, the set publishes abbreviations.
CATARACT_101 = {
    "incision": "incision",
    "viscous agent injection": "viscoelastic",
    "rhexis": "capsulorhexis",
    "hydrodissection": "hydrodissection",
    "phacoemulsification": "phacoemulsification",
    "irrigation and aspiration": "cortex-removal",
    "capsule polishing": "capsule-polish",
    "lens implant setting-up": "lens-implant",
    "viscous agent removal": "viscoelastic-removal",
    "tonifying and antibiotics": "wound-hydration-or-suture",
}


@pytest.fixture(scope="module")
def vitreoretinal() -> Vocabulary:
    return find("vitreoretinal")


@pytest.fixture(scope="module")
def cataract() -> Vocabulary:
    return find("cataract")


@pytest.mark.parametrize("name", BUILT_IN)
def test_nothing_is_found_in_it(name: str) -> None:
    assert check(find(name)) == ()


@pytest.mark.parametrize("name", BUILT_IN)
def test_every_concept_is_defined_in_one_sentence(name: str) -> None:
    for concept in find(name).concepts:
        definition = concept.definition["en"]
        assert definition.endswith(".") and definition.count(". ") == 0, concept.notation


@pytest.mark.parametrize("name", BUILT_IN)
def test_facets_are_as_they_are_used(name: str) -> None:
    vocabulary = find(name)
    assert {facet.name for facet in vocabulary.facets if facet.exclusive} == {"phase", "step"}
    assert {facet.name for facet in vocabulary.facets if facet.moments} == {"event"}


@pytest.mark.parametrize("name", BUILT_IN)
def test_phases_and_steps_stand_in_the_order_of_the_operation(name: str) -> None:
    """Each phase is followed by its steps, and a step by those that are kinds of it."""
    vocabulary = find(name)
    phase = ""
    for concept in vocabulary.concepts:
        if concept.facet == "phase":
            phase = concept.notation
        elif concept.facet == "step":
            assert [above.notation for above in vocabulary.lineage(concept, "phase")] == [phase]


@pytest.mark.parametrize("name", BUILT_IN)
def test_every_step_says_when_it_begins_and_ends(name: str) -> None:
    """In one sentence each, in every language in which it says the one."""
    for step in find(name).in_facet("step"):
        assert "en" in step.begins_when and step.begins_when.keys() == step.ends_when.keys(), step.notation
        for sentence in (*step.begins_when.values(), *step.ends_when.values()):
            assert sentence.endswith(".") and sentence.count(". ") == 0, step.notation


@pytest.mark.parametrize("name", BUILT_IN)
def test_the_operating_time_has_both_ends(name: str) -> None:
    bounds = [step.operating_time for step in find(name).in_facet("step") if step.operating_time]
    assert set(bounds) == {Bound.BEGINS, Bound.ENDS}


@pytest.mark.parametrize("name", BUILT_IN)
def test_a_kind_of_operation_shows_the_phases_of_its_steps(name: str) -> None:
    vocabulary = find(name)
    for step in vocabulary.in_facet("step"):
        (phase,) = vocabulary.lineage(step, "phase")
        assert set(step.kinds) <= set(phase.kinds), step.notation


@pytest.mark.parametrize("name", BUILT_IN)
def test_what_has_a_key_is_shown_first_in_some_kind(name: str) -> None:
    vocabulary = find(name)
    for concept in vocabulary.concepts:
        assert concept.kinds or not concept.key or not vocabulary.kinds, concept.notation


@pytest.mark.parametrize("name", BUILT_IN)
def test_a_kind_of_operation_is_a_list_to_look_over(name: str) -> None:
    """Fewer than half of the concepts, of which no more are steps than in the whole of version 1.0 (38)."""
    vocabulary = find(name)
    for kind in vocabulary.kinds if name == "vitreoretinal" else ():
        shown = [concept for concept in vocabulary.concepts if kind.name in concept.kinds]
        assert len(shown) < len(vocabulary.concepts) / 2, kind.name
        assert sum(concept.facet == "step" for concept in shown) <= 38, kind.name


@pytest.mark.parametrize("name", ["vitreoretinal", "cataract"])
def test_every_step_has_a_usual_time_and_a_takeover_changes_the_performer(name: str) -> None:
    vocabulary = find(name)
    for step in vocabulary.in_facet("step"):
        assert step.rules.usual_time.most, step.notation
    assert vocabulary.by_notation["takeover-by-the-teacher"].rules.changes_performer


@pytest.mark.parametrize(("phase", "steps"), VITREORETINAL_STEPS.items())
def test_vitreoretinal_steps_are_there_under_their_phase(vitreoretinal: Vocabulary, phase: str, steps: str) -> None:
    for name in steps.split("; "):
        step = vitreoretinal.match(name)
        assert step.label().lower() == name.lower()
        assert step.facet == "step"
        assert vitreoretinal.lineage(step, "phase") == (vitreoretinal.match(phase, "phase"),)


@pytest.mark.parametrize(("facet", "names"), VITREORETINAL_OTHERS.items())
def test_vitreoretinal_facets_are_whole(vitreoretinal: Vocabulary, facet: str, names: str) -> None:
    found = {concept.label().lower() for concept in vitreoretinal.in_facet(facet)}
    assert set(names.lower().split("; ")) <= found


def test_keys_are_what_the_hand_has_learned(vitreoretinal: Vocabulary) -> None:
    assert {concept.key: concept.notation for concept in vitreoretinal.concepts if concept.key} == VITREORETINAL_KEYS


# Common practice, no source: what belongs to no phase of its own.
@pytest.mark.parametrize(
    "notation", ["haemostasis", "encircling-band", "chandelier-placement", "pause", "view-care", "injection"]
)
def test_a_step_of_any_phase_says_so(vitreoretinal: Vocabulary, notation: str) -> None:
    assert vitreoretinal.by_notation[notation].any_phase


def test_what_is_said_in_the_theatre_means_one_term(vitreoretinal: Vocabulary) -> None:
    """Each word is taken for sure, as what a surgeon means who tags it; common practice of the trade, no source."""
    said = csv.DictReader(SPOKEN.read_text(encoding="utf-8").splitlines())
    expected = {row["word"]: row["notation"] for row in said}
    assert len(expected) > 200
    assert {word: _meant(vitreoretinal, word) for word in expected} == expected


def _meant(vocabulary: Vocabulary, word: str) -> str:
    try:
        return vocabulary.match(word).notation
    except UnknownName:
        return "refused"


@pytest.mark.parametrize(
    "word", ["SF6", "C3F8", "brilliant blue", "ICG", "trypan blue", "triamcinolone", "1000 cSt oil"]
)
def test_gases_and_dyes_are_materials_and_no_steps(vitreoretinal: Vocabulary, word: str) -> None:
    assert vitreoretinal.match(word).facet == "material"


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        # Common practice, no source: what is said in the theatre.
        ("PRP", "endolaser-panretinal"),
        ("scatter laser", "endolaser-panretinal"),
        ("ILM peel", "inner-limiting-membrane-peeling"),
        ("ERM peel", "epiretinal-membrane-peeling"),
        ("PFCL", "perfluorocarbon-fill"),
        ("heavy liquid", "perfluorocarbon-fill"),
        ("PFCL removal", "perfluorocarbon-removal"),
        ("PVD induction", "posterior-hyaloid-separation"),
        ("hemostasis", "haemostasis"),
        ("air–fluid exchange", "fluid-air-exchange"),
        ("Fluid-Air Exchange", "fluid-air-exchange"),
        ("SRF drainage", "subretinal-fluid-drainage"),
        ("cryo", "cryotherapy"),
        ("ROSO", "silicone-oil-removal"),
        ("trocar removal", "port-removal"),
        ("scleral depression", "with-indentation"),
        ("en bloc", "en-bloc"),
        ("en bloc removal", "en-bloc-removal"),
        ("Lift and shave", "lift-and-shave"),
        ("Kernvitrektomie", "core-vitrectomy"),
        ("ILM-Peeling", "inner-limiting-membrane-peeling"),
    ],
)
def test_a_surgeon_is_understood(vitreoretinal: Vocabulary, said: str, meant: str) -> None:
    assert vitreoretinal.match(said).notation == meant


@pytest.mark.parametrize(
    ("earlier", "later"),
    [
        # Common practice, no source; hints only.
        ("core-vitrectomy", "segmentation"),
        ("core-vitrectomy", "epiretinal-membrane-peeling"),
        ("membrane-staining", "epiretinal-membrane-peeling"),
        ("inner-limiting-membrane-staining", "inner-limiting-membrane-peeling"),
        ("break-marking", "drainage-retinotomy"),
        ("break-marking", "relaxing-retinotomy"),
        ("fluid-air-exchange", "gas"),
        ("fluid-air-exchange", "silicone-oil-fill"),
        ("subretinal-fluid-drainage", "endolaser-around-breaks"),
        ("gas", "port-removal"),
    ],
)
def test_the_usual_order_is_hinted_at(vitreoretinal: Vocabulary, earlier: str, later: str) -> None:
    assert earlier in vitreoretinal.by_notation[later].usually_after


def test_core_vitrectomy_comes_before_all_membrane_work(vitreoretinal: Vocabulary) -> None:
    for step in vitreoretinal.in_facet("step"):
        if step.broader == "membrane-work":
            assert "core-vitrectomy" in step.usually_after


@pytest.mark.parametrize("published", [CATARACT_1K, CATARACT_101], ids=["Cataract-1K", "Cataract-101"])
def test_cataract_steps_answer_to_published_phases(cataract: Vocabulary, published: dict[str, str]) -> None:
    """Each published phase is understood, and they come in the same order."""
    steps = [step.notation for step in cataract.in_facet("step")]
    answered = [cataract.match(name).notation for name in published]
    assert answered == list(published.values())
    assert list(dict.fromkeys(answered)) == [step for step in steps if step in answered]


@pytest.mark.parametrize(
    ("said", "facet", "meant"),
    [
        ("hydrodissection", "step", "hydrodissection"),
        ("hydrodelineation", "step", "hydrodelineation"),
        ("anterior vitrectomy", "step", "anterior-vitrectomy"),
        ("pupil expansion", "step", "pupil-expansion"),
        ("toric alignment", "step", "toric-alignment"),
        ("tension ring placement", "step", "tension-ring-placement"),
        ("conversion", "event", "conversion"),
        ("wound burn", "event", "wound-burn"),
        ("Descemet detachment", "event", "descemet-detachment"),
        ("idle", "step", "pause"),
        ("trypan blue", "material", "trypan-blue"),
    ],
)
def test_cataract_surgery_is_whole(cataract: Vocabulary, said: str, facet: str, meant: str) -> None:
    """Common practice of the trade, no source."""
    assert cataract.match(said, facet).notation == meant


def test_general_is_small_and_of_no_specialty() -> None:
    general = find("general")
    assert [step.notation for step in general.in_facet("step")] == [
        *("preparation", "time-out", "approach", "dissection", "key-manoeuvre", "specimen", "haemostasis"),
        *("drain", "count", "closure", "pause"),
    ]
    assert general.match("conversion").facet == "event"
    assert len(general.concepts) < 50
