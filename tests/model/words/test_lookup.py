"""What is written is equal to a name, near to one, or far from all."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.model.words.lookup import Words
from annotator.model.words.short_forms import Name

NAMES = {
    "core": ["core vitrectomy", "core"],
    "peel": ["ILM peeling", "inner limiting membrane peeling"],
    "epiretinal": ["epiretinal membrane peeling"],
    "hyaloid": [
        "posterior hyaloid separation",
        "induction of PVD",
        "induction of posterior vitreous detachment",
        "PVD",
    ],
    "fill": ["silicone oil fill", "silicone oil"],
    "removal": ["silicone oil removal", "oil drainage"],
    "exchange": ["fluid-air exchange"],
    "retinectomy": ["retinectomy", "retina resection"],
    "relaxing": ["relaxing retinotomy"],
    "drainage-retinotomy": ["drainage retinotomy"],
    "cutter": ["cutter", "vitrector"],
    "cutter-25": ["cutter 25 G", "25 gauge"],
    "cutter-27": ["cutter 27 G", "27 gauge"],
    "blood": ["vitreous haemorrhage"],
    "internal": ["internal drainage"],
    "no-view": ["no view", "view lost"],
    "scissors": ["scissors"],
    "delamination": ["delamination"],
}


def fresh() -> Words:
    """The names, with nothing looked up in them yet."""
    return Words(
        [Name(meant, text) for meant, texts in NAMES.items() for text in texts],
        above={"cutter-25": ["cutter"], "cutter-27": ["cutter"]},
        prose=["The posterior hyaloid is peeled, an inferior break is drained externally, scissors cut."],
    )


WORDS = fresh()


def equal(text: str) -> tuple[str, ...]:
    return next(filter(None, WORDS.equal(text)), ())


def near(text: str) -> str | None:
    return None if equal(text) else WORDS.near(WORDS.nearest(text))


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("Core-Vitrectomy", "core"),
        ("vitrectomy, core", "core"),
        ("ILM peeled", "peel"),
        ("peel of the inner limiting membrane", "peel"),
        ("PVD induced", "hyaloid"),
        ("posterior vitreous detachment induction", "hyaloid"),
        ("removing silicone oil", "removal"),
        ("25G cutter", "cutter-25"),
        ("25-gauge", "cutter-25"),
        ("vitreous hemorrhages", "blood"),
        ("fluid/air exchange", "exchange"),
        ("fluidair exchange", "exchange"),
    ],
)
def test_equal_is_what_differs_in_writing_only(text: str, meant: str) -> None:
    assert equal(text) == (meant,)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("core vitrectmy", "core"),
        ("core vit", "core"),
        ("delam", "delamination"),
        ("posterior hyaloid detached", "hyaloid"),
        ("inferior retinectomy", "retinectomy"),
        ("180 degree retinectomy", "retinectomy"),
        ("silicone oil aspiration", "removal"),
        ("air-fluid exchange", "exchange"),  # which of them comes in is another question
        ("27-gauge vitrector", "cutter-27"),
        ("scissors delamination", "delamination"),
        ("epiretinal membrane removal", "epiretinal"),
    ],
)
def test_near_is_what_says_a_little_more_less_or_else(text: str, meant: str) -> None:
    assert near(text) == meant


@pytest.mark.parametrize(
    "text",
    [
        "PPV",
        "retinotomy",
        "olive oil",
        "no retinectomy",
        "view",
        "external drainage",
        "cutter 23 G",
        "core 17",
        "vit",
        "scissors grinder",
        "???",
        "",
        "the of and",
    ],
)
def test_far_is_what_may_mean_something_else(text: str) -> None:
    assert not equal(text)
    assert near(text) is None


def test_of_two_that_are_equally_near_neither_is_meant() -> None:
    nearest = WORDS.nearest("membrane peeling")
    assert {one.meant for one in nearest[:2]} == {"peel", "epiretinal"}
    assert WORDS.near(nearest) is None


@pytest.mark.parametrize(("text", "stranger"), [("PVR", "hyaloid"), ("retinotomy", "retinectomy"), ("PPV", "hyaloid")])
def test_what_means_something_else_is_no_neighbour(text: str, stranger: str) -> None:
    assert stranger not in {one.meant for one in WORDS.nearest(text)}


@given(st.text(max_size=80))
def test_any_text_is_looked_up(text: str) -> None:
    scores = [one.score for one in WORDS.nearest(text)]
    assert scores == sorted(scores, reverse=True)
    assert all(0 <= score <= 1 for score in scores)


@given(st.sampled_from([(meant, text) for meant, texts in NAMES.items() for text in texts]), st.data())
def test_each_name_is_equal_to_itself_however_it_is_written(named: tuple[str, str], data: st.DataObject) -> None:
    meant, text = named
    dash = data.draw(st.sampled_from([" ", "-", "\u2013", "_", "  "]))
    case = data.draw(st.sampled_from([str.upper, str.lower, str.title, str.swapcase]))
    assert equal(case(dash.join(text.split()))) == (meant,)


@given(st.lists(st.sampled_from(sorted({name for names in NAMES.values() for name in names})), min_size=1), st.data())
def test_what_was_looked_up_before_makes_no_difference(names: list[str], data: st.DataObject) -> None:
    """Results are kept by what the words may stand for; many slips and strange words come to the same."""
    kept = fresh()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("annotator.model.words.near.MOST_KEPT", 3)
        for name in names:
            at = data.draw(st.integers(0, len(name) - 1))
            text = (
                name[:at] + data.draw(st.sampled_from(["", "x", " not ", " lowered ", " 12 ", " purple "])) + name[at:]
            )
            assert kept.nearest(text) == fresh().nearest(text)
