"""The vocabularies that travel with the program: complete, sound, and close to what is published."""

import pytest

from annotator.model.vocabulary import Vocabulary
from annotator.model.vocabulary_rules import check
from annotator.store.vocabularies import find

BUILT_IN = ["vitreoretinal", "cataract", "general"]

# Common practice of the trade, no source: what a vitreoretinal surgeon must find, phase by phase.
VITREORETINAL_STEPS = {
    "access": "port placement; infusion check; chandelier placement",
    "lens surgery": "combined lens removal; lens implant",
    "vitrectomy": "core vitrectomy; posterior hyaloid separation; vitreous staining; peripheral vitrectomy; "
    "base shaving",
    "membrane work": "membrane staining; segmentation; delamination; en bloc removal; epiretinal membrane peeling; "
    "inner limiting membrane staining; inner limiting membrane peeling; subretinal band removal; "
    "subretinal blood evacuation",
    "reattachment": "haemostasis; break marking; drainage retinotomy; relaxing retinotomy; retinectomy; "
    "perfluorocarbon fill; subretinal fluid drainage; fluid-air exchange; perfluorocarbon removal",
    "retinopexy": "endolaser panretinal; endolaser around breaks; cryotherapy",
    "tamponade": "air; gas; silicone oil fill; silicone oil removal",
    "closure": "port removal; wound closure; injection; encircling band",
}
VITREORETINAL_OTHERS = {
    "technique": "unimanual with the cutter; bimanual; lift and shave; en bloc; divide and conquer; viscodissection; "
    "pinch and peel; under air; under perfluorocarbon; with indentation",
    "instrument": "cutter; cutter 23 G; cutter 25 G; cutter 27 G; light pipe; chandelier; forceps; pick; scissors; "
    "diathermy; laser probe; extrusion cannula; scraper; indentor",
    "event": "bleeding; iatrogenic break; lens touch; pressure raised; view lost; hypotony; instrument exchange; "
    "takeover by the teacher; membrane plane found; abandoned",
    "teaching-point": "key manoeuvre; pitfall; decision; question for the room; before/after",
}

# Phases of Cataract-1K, Scientific Data 2024, doi 10.1038/s41597-024-03193-4 (beside them it counts “idle”, no work),
# and the step here that each is part of.
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
    """Each phase is followed by its steps."""
    vocabulary = find(name)
    phase = ""
    for concept in vocabulary.concepts:
        if concept.facet == "phase":
            phase = concept.notation
        elif concept.facet == "step":
            assert concept.broader == phase


@pytest.mark.parametrize(("phase", "steps"), VITREORETINAL_STEPS.items())
def test_vitreoretinal_steps_are_there_under_their_phase(vitreoretinal: Vocabulary, phase: str, steps: str) -> None:
    for name in steps.split("; "):
        step = vitreoretinal.match(name)
        assert step.label().lower() == name
        assert step.facet == "step"
        assert step.broader == vitreoretinal.match(phase, "phase").notation


@pytest.mark.parametrize(("facet", "names"), VITREORETINAL_OTHERS.items())
def test_vitreoretinal_facets_are_whole(vitreoretinal: Vocabulary, facet: str, names: str) -> None:
    found = [concept.label().lower() for concept in vitreoretinal.in_facet(facet)]
    assert found == names.lower().split("; ")


@pytest.mark.parametrize(
    ("key", "name"),
    [("p", "port placement"), ("c", "core"), ("h", "hyaloid"), ("s", "segmentation"), ("d", "delamination")],
)
def test_keys_are_what_the_hand_expects(vitreoretinal: Vocabulary, key: str, name: str) -> None:
    assert vitreoretinal.match(name).key == key


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
        ("SF6", "gas"),
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
    """Each published phase is understood, none is left over here, and they come in the same order."""
    steps = [step.notation for step in cataract.in_facet("step")]
    answered = [cataract.match(name).notation for name in published]
    assert answered == list(published.values())
    assert set(answered) == set(steps)
    assert list(dict.fromkeys(answered)) == steps


def test_general_is_small_and_of_no_specialty() -> None:
    general = find("general")
    assert [step.notation for step in general.in_facet("step")] == [
        *("preparation", "approach", "dissection", "key-manoeuvre", "haemostasis", "closure")
    ]
    assert len(general.concepts) < 25
