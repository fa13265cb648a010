"""The first sample's tags as they were under vocabulary 1.0, on which its published figures stand."""

from pathlib import Path

from annotator.model.timecode import parse
from tests.sample.conftest import table

GOLDEN = Path(__file__).resolve().parents[1] / "golden" / "sample_steps_1_0.csv"


def spans(step: str) -> list[tuple[int, int]]:
    return [(parse(row["start"]), parse(row["end"])) for row in table(GOLDEN) if row["step"] == step]


def test_its_published_figures_are_those_of_its_rows() -> None:
    # Worked by hand: last port removal's end less first port placement's start; both stays of the delamination, and
    # from the first's start to the second's end.
    assert len(table(GOLDEN)) == 48
    assert spans("port-removal")[-1][1] - spans("port-placement")[0][0] == 102_803
    first, second = spans("delamination")
    assert (first[1] - first[0]) + (second[1] - second[0]) == 14_982
    assert second[1] - first[0] == 20_988
