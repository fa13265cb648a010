"""Which single words may stand for one another."""

import pytest

from annotator.model.words.forms import form_of
from annotator.model.words.like import LikeWords, opposed

TRADE = (
    "delamination retinotomy vitrectomy vitrector peripheral internal laser core staining removal phaco ppv subretinal "
    "retinal confirmed"
)
WORDS = LikeWords(TRADE.split(), known=[form_of("external"), form_of("retinectomy")])


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        ("delamintion", "delamination"),
        ("delaminatoin", "delamination"),
        ("periferal", "peripheral"),
        ("vitrectmy", "vitrectomy"),
        ("corre", "core"),
        ("delam", "delamination"),
        ("phacoemulsification", "phaco"),
        ("excision", "removal"),
        ("colouring", "staining"),
    ],
)
def test_a_slip_a_beginning_and_a_word_alike_are_found(word: str, meant: str) -> None:
    assert 0.8 < WORDS.of(word)[form_of(meant)] < 1


@pytest.mark.parametrize("word", ["delaminating", "Laser".lower(), "removed"])
def test_a_word_in_another_form_is_itself(word: str) -> None:
    assert 1.0 in WORDS.of(word).values()


@pytest.mark.parametrize(
    ("word", "other"),
    [
        ("retinectomy", "retinotomy"),  # another word of the trade
        ("retinotome", "retinotomy"),  # another ending with a meaning
        ("vitrectomy", "vitrector"),
        ("external", "internal"),
        ("epiretinal", "subretinal"),
        ("preretinal", "retinal"),
        ("unconfirmed", "confirmed"),
        ("ppvv", "ppv"),
        ("pvd", "ppv"),
        ("port", "core"),
    ],
)
def test_a_word_that_means_something_else_is_not_near(word: str, other: str) -> None:
    assert form_of(other) not in WORDS.of(word)


@pytest.mark.parametrize("word", ["lazer", "loser", "vit"])
def test_a_short_word_that_differs_is_told_but_names_nothing_by_itself(word: str) -> None:
    assert all(0.45 < by < 0.72 for by in WORDS.of(word).values())
    assert WORDS.of(word)


def test_opposites_are_known_in_every_form() -> None:
    assert opposed(form_of("lowering"), [form_of("raised")])
    assert not opposed(form_of("raising"), [form_of("raised")])
