"""One thing written in different ways comes to one form, and different things do not."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.model.words.forms import LONGEST, MOST_WORDS, folded, form_of, without_strength, written


def test_names_without_difference_in_meaning_are_folded_alike() -> None:
    spelt = ["fluid-air exchange", "Fluid–Air  Exchange", "fluid_air\texchange", " FLUID\u2011AIR EXCHANGE "]
    assert {folded(name) for name in spelt} == {"fluid air exchange"}


@given(st.text(max_size=20))
def test_what_is_folded_stays_as_it_is(name: str) -> None:
    assert folded(folded(name)) == folded(name)


@pytest.mark.parametrize(
    "words",
    [
        "peel peels peeling peeled",
        "removal removals removing removed remove",
        "closure closing closed close",
        "placement placing placed place",
        "drainage draining drained drain",
        "delamination delaminating delaminated delaminate",
        "segmentation segmenting segmented segmental",
        "injection injections injecting injected inject",
        "induction inducing induced induce",
        "fixation fixated fixed fixing",
        "cannula cannulas cannulae",
        "lens lenses",
        "gas gases",
        "retinotomy retinotomies",
        "filling fill filled",
        "cutting cut",
        "haemorrhage hemorrhage haemorrhages",
        "oedema edema",
        "localising localizing localisation localization localise",
        "colour color colouring coloring",
        "centre center",
        "manoeuvre maneuver manoeuvres",
        "sulphur sulfur",
        "suture suturing sutured sutures",
        "indenter indentor",
        "retina retinal",
        "traction tractional",
        "ablösung abloesung",
    ],
)
def test_forms_of_one_word_are_one(words: str) -> None:
    assert len({written(word).forms for word in words.split()}) == 1


@pytest.mark.parametrize(
    "words",
    [
        "retinotomy retinectomy retinopexy retina",
        "cutter cutting",
        "indentor indentation",
        "vitrectomy vitrector vitreous",
        "laser lens",
        "iris miosis haemostasis",
        "port pars peritomy",
        "ppv pvd pvr prp ppvv",
        "diathermy dilation",
    ],
)
def test_different_words_stay_different(words: str) -> None:
    each = words.split()
    assert len({form_of(word) for word in each}) == len(each)


@pytest.mark.parametrize("name", ["25G cutter", "25 g cutter", "25-gauge cutter", "25 GA Cutter", "cutter, 25 Gauge"])
def test_a_gauge_is_written_in_many_ways(name: str) -> None:
    assert sorted(written(name).words) == ["25", "cutter", "gauge"]


@pytest.mark.parametrize("name", ["1000 cSt oil", "1000cs oil", "oil 1000 centistokes", "1000-centistoke oil"])
def test_a_viscosity_is_written_in_many_ways(name: str) -> None:
    assert sorted(written(name).words) == ["1000", "cst", "oil"]


@pytest.mark.parametrize(
    "names",
    [
        ("endolaser", "endo laser", "endo-laser"),
        ("removal of silicone oil", "silicone oil removal"),
        ("drainage of the subretinal fluid", "subretinal fluid drainage"),
        ("delamination with scissors", "scissors delamination"),
        ("360° laser", "360 degree laser"),
    ],
)
def test_what_is_meant_stands_last_in_whatever_order_it_is_written(names: tuple[str, ...]) -> None:
    assert len({written(name).forms for name in names}) == 1


@pytest.mark.parametrize(
    ("name", "bare", "strength"),
    [
        ("SF6 20 %", "sf6", "20 %"),
        ("20% SF6", "sf6", "20 %"),
        ("14 percent C3F8", "c3f8", "14 %"),
        ("0,05 % dye", "dye", "0.05 %"),
        ("SF6", "SF6", ""),
        ("20% and 14% gas", "20% and 14% gas", ""),
        ("%", "%", ""),
    ],
)
def test_a_strength_is_taken_out_of_a_name(name: str, bare: str, strength: str) -> None:
    without, found = without_strength(name)
    assert (without.strip(), found) == (bare, strength)


@given(st.text(max_size=60))
def test_any_text_can_be_taken_apart(name: str) -> None:
    assert len(written(name).forms) == len(written(name).words) <= MOST_WORDS


def test_a_sentence_is_no_name() -> None:
    assert written("x" * (LONGEST + 1)).forms == ()
    assert written("and then the surgeon looked once more at the edge of the hole and went on").forms == ()
