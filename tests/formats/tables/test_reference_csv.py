"""Tables of reference times: what is read, and what is refused with its line and the reason."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from annotator.errors import InvalidFile
from annotator.formats.tables.reference_csv import loads
from annotator.model.reference import OPERATION, Measured, Reference
from tests.measure.cases import vocabulary

HEAD = "step,group,n,time,median,lower_quartile,upper_quartile,mean,sd,begins,ends,source\n"
ROW = "core,Fellows,25,net,8:26,7:00,9:30,,,first cut,last cut,An invented unit\n"


def refused(text: str) -> str:
    with pytest.raises(InvalidFile) as raised:
        loads(text, vocabulary())
    return str(raised.value)


def test_a_row() -> None:
    (found,) = loads(HEAD + ROW, vocabulary())
    assert found == Reference(
        step="core",
        group="Fellows",
        n=25,
        measured=Measured.NET,
        begins="first cut",
        ends="last cut",
        source="An invented unit",
        median=506_000,
        lower_quartile=420_000,
        upper_quartile=570_000,
    )
    assert found.middle == 506_000


def test_a_mean_of_the_whole_operation_in_seconds() -> None:
    text = "Step;N;Mean;SD;Begins;Ends;Source\nOperating time;100;1891;890;first port;last port;invented\n"
    (found,) = loads(text, vocabulary())
    assert (found.step, found.measured, found.middle, found.deviation) == (
        OPERATION,
        Measured.ELAPSED,
        1_891_000,
        890_000,
    )


@pytest.mark.parametrize(
    ("column", "says"),
    [
        ("n", "line 3: “n” is empty; say of how many cases it is"),
        ("begins", "line 3: “begins” is empty; say what begins the step there"),
        ("ends", "line 3: “ends” is empty; say what ends the step there"),
        ("source", "line 3: “source” is empty; say where the times are from"),
    ],
)
def test_a_row_that_does_not_say_what_it_rests_on_is_refused(column: str, says: str) -> None:
    names = HEAD.strip().split(",")
    cells = ROW.strip().split(",")
    cells[names.index(column)] = " "
    assert says in refused(HEAD + ROW + ",".join(cells) + "\n")


@pytest.mark.parametrize("column", ["n", "begins", "ends", "source"])
def test_a_table_without_such_a_column_is_refused(column: str) -> None:
    assert f"the column “{column}” is missing" in refused(HEAD.replace(column, "note") + ROW)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("core,", "cor vitrectom,", "line 2: There is no step “cor vitrectom”; did you mean “Core vitrectomy”?"),
        (",25,", ",many,", "line 2: “many” is not a number of cases"),
        (",25,", ",0,", "line 2: “0” is not a number of cases"),
        (",25,", ",2.5,", "line 2: “2.5” is not a number of cases"),
        (",net,", ",gross,", "line 2: “gross” is not a kind of time; write net or elapsed"),
        ("8:26", "8 min", "line 2: median: “8 min” is not a time"),
        ("8:26", "", "line 2: there is neither a median nor a mean"),
        ("9:30", "", "line 2: there is one quartile without the other"),
        ("9:30", "8:00", "line 2: the quartiles and the median are not in order"),
        ("An invented unit", "An invented unit,more", "line 2: there are 13 cells"),
        ("first cut", "x" * 1_001, "line 2: “begins” is longer than 1000 characters"),
    ],
)
def test_a_wrong_row_is_refused_with_its_line(old: str, new: str, says: str) -> None:
    assert says in refused(HEAD + ROW.replace(old, new))


def test_every_fault_is_told() -> None:
    text = refused(HEAD + ROW.replace("25", "x") + ROW.replace("8:26", "y"))
    assert "line 2" in text
    assert "line 3" in text


@pytest.mark.parametrize("text", ["", HEAD, "step\n", "<html>", "\x00,\x00"])
def test_what_holds_no_row_is_refused(text: str) -> None:
    assert refused(text)


def test_a_misspelt_column_is_refused_with_the_nearest() -> None:
    assert "did you mean “begins”?" in refused(HEAD.replace("begins", "begin") + ROW)


def test_too_many_rows_are_refused() -> None:
    assert "only 1,000 rows are read" in refused(HEAD + 1_001 * ROW)


@settings(max_examples=30)
@given(st.text(max_size=200))
def test_whatever_stands_in_a_table_it_is_read_or_refused(text: str) -> None:
    try:
        loads(HEAD + text, vocabulary())
    except InvalidFile as error:
        assert str(error)
