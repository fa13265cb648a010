"""Scores of a case as a table: read back as they were, every fault with its row."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from annotator.errors import InvalidFile
from annotator.formats.scores import scores_csv
from annotator.model.sheet import Score, with_scores, without_scores
from annotator.store.scores import find_sheet

SHEET = find_sheet()
HEAD = "sheet,rater,item,score\n"
SCORES = st.builds(
    Score,
    st.sampled_from([rater.code for rater in SHEET.raters]),
    st.sampled_from([item.code for item in SHEET.items]),
    st.sampled_from([1, 2, 3, None]),
)


@given(st.lists(SCORES))
def test_what_is_written_is_read_back(scores: list[Score]) -> None:
    kept = with_scores((), scores)
    assert set(scores_csv.loads(scores_csv.dumps(SHEET, kept), SHEET)) == set(kept)


@given(st.lists(SCORES), SCORES)
def test_a_new_score_takes_the_place_of_the_old_one_and_of_no_other(scores: list[Score], new: Score) -> None:
    before = with_scores((), scores)
    after = with_scores(before, [new])
    assert new in after
    rest = set(without_scores(before, new.rater, [new.item]))
    assert set(after) == {*rest, new}


def test_a_spreadsheet_may_have_saved_it() -> None:
    text = "\ufeffsheet;rater;item;score\r\nexample;Self;View kept;Not done\r\n"
    assert scores_csv.loads(text, SHEET) == (Score("self", "view", None),)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("rater,item\n", "the first line must name the columns"),
        (HEAD + "other,self,view,3\n", "row 2: is of the score sheet “other”"),
        (HEAD + "example,boss,view,3\n", "row 2: "),
        (HEAD + "example,self,view,4\n", "“4” is no score of view; give one of 1, 2, 3, or not done"),
        (HEAD + "example,self,view\n", "row 2: has 3 cells, and the columns are 4"),
        (HEAD + "example,self,view,3\nexample,self,View kept,2\n", "row 3: “self” has scored “view” already"),
        (HEAD + 'example,self,"view,3\n', "a quotation mark"),
    ],
)
def test_a_fault_is_told_with_its_row(text: str, says: str) -> None:
    with pytest.raises(InvalidFile) as refused:
        scores_csv.loads(text, SHEET)
    assert says in str(refused.value)
