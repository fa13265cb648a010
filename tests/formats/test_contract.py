"""What every format keeps to: what it writes it reads back the same, and nothing that it is given to read does
more than raise InvalidFile. One suite; each format says what it writes and how to read it.
"""

from typing import Any, ClassVar

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from annotator.errors import InvalidFile
from annotator.formats.captions import subrip, webvtt
from annotator.formats.captions.webvtt import Cue
from annotator.formats.case import casefile
from annotator.formats.tables import tags_csv
from annotator.formats.tables.tags_csv import TagRow
from annotator.formats.vocabulary import skos, vocabulary_csv, vocabulary_yaml
from tests import strategies as drawn

DRAWN = settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck))


class Contract:
    """Give `values` (what is drawn), `write` and `read`; `bytes_too` where bytes are read as well as text."""

    values: ClassVar[st.SearchStrategy[Any]]
    bytes_too: ClassVar[bool] = False

    def write(self, value: Any) -> str | bytes:
        raise AssertionError("each format has its own")

    def read(self, data: Any) -> Any:
        raise AssertionError("each format has its own")

    @DRAWN
    @given(data=st.data())
    def test_what_is_written_reads_back(self, data: st.DataObject) -> None:
        value = data.draw(self.values)
        assert self.read(self.write(value)) == value

    @DRAWN
    @given(data=st.data())
    def test_what_is_read_is_written_as_it_stood(self, data: st.DataObject) -> None:
        """A file that is opened and saved without a change is the same file."""
        written = self.write(data.draw(self.values))
        assert self.write(self.read(written)) == written

    @DRAWN
    @given(data=st.data())
    def test_damage_is_a_fault_of_the_file_and_nothing_else(self, data: st.DataObject) -> None:
        written = self.write(data.draw(self.values))
        at = data.draw(st.integers(0, len(written)))
        cut = data.draw(st.integers(0, 20))
        noise = data.draw(st.text(max_size=8))
        damaged: str | bytes
        if isinstance(written, bytes):
            damaged = written[:at] + noise.encode("utf-8", "surrogatepass") + written[at + cut :]
        else:
            damaged = written[:at] + noise + written[at + cut :]
        self.read_or_refuse(damaged)

    @DRAWN
    @given(data=st.data())
    def test_noise_is_refused_or_read(self, data: st.DataObject) -> None:
        noise: str | bytes
        noise = data.draw(st.binary(max_size=200)) if self.bytes_too else data.draw(st.text(max_size=200))
        self.read_or_refuse(noise)

    @pytest.mark.parametrize("text", ["", "\n", "\0", "\ufeff", "{}", "[" * 5_000, "a: &a [*a]", "=cmd", "<" * 500])
    def test_stock_nonsense(self, text: str) -> None:
        self.read_or_refuse(text.encode() if self.bytes_too else text)

    def read_or_refuse(self, data: str | bytes) -> None:
        try:
            self.read(data)
        except InvalidFile as refused:
            assert str(refused).strip()


class TestCaseFile(Contract):
    values = st.tuples(drawn.cases(), st.integers(0, 1_000))
    bytes_too = True

    def write(self, value: Any) -> bytes:
        return casefile.dumps(*value)

    def read(self, data: Any) -> Any:
        return casefile.loads(data)


class TestVocabularyYaml(Contract):
    values = drawn.vocabularies()

    def write(self, value: Any) -> str:
        return vocabulary_yaml.dumps(value)

    def read(self, data: Any) -> Any:
        return vocabulary_yaml.loads(data)


class TestVocabularyCsv(Contract):
    values = drawn.vocabularies()

    def write(self, value: Any) -> str:
        return vocabulary_csv.dumps(value)

    def read(self, data: Any) -> Any:
        return vocabulary_csv.loads(data)


class TestSkos(Contract):
    values = drawn.vocabularies()

    def write(self, value: Any) -> str:
        return skos.dumps(value)

    def read(self, data: Any) -> Any:
        return skos.loads(data)


class TestTagsCsv(Contract):
    # Blanks around a cell say nothing, and line ends and NUL are not typed into one.
    cells = st.text(st.characters(exclude_categories=["Cs", "Cc", "Zl", "Zp"]), max_size=20).map(str.strip)
    values = st.lists(
        st.builds(TagRow, where=st.just(""), start=st.just("1"), end=cells, step=cells, performer=cells, note=cells),
        max_size=4,
    )

    def write(self, value: Any) -> str:
        return tags_csv.dumps(value)

    def read(self, data: Any) -> Any:
        return [
            TagRow("", row.start, row.end, row.step, row.performer, row.place, row.certainty, row.note)
            for row in tags_csv.loads(data)
        ]


class TestWebVtt(Contract):
    bytes_too = True

    @staticmethod
    def _in_a_row(drawn_cues: list[tuple[int, str]]) -> list[Cue]:
        edges = [sum(length for length, _ in drawn_cues[:at]) for at in range(len(drawn_cues) + 1)]
        return [Cue(edges[at], edges[at + 1], title, f"chapter-{at}") for at, (_, title) in enumerate(drawn_cues)]

    titles = st.text(st.characters(categories=["L", "N", "P", "S"]), min_size=1, max_size=20)
    values = st.lists(st.tuples(st.integers(1, 10_000_000), titles), max_size=4).map(_in_a_row)

    def write(self, value: Any) -> str:
        return webvtt.dumps(value)

    def read(self, data: Any) -> Any:
        return list(webvtt.loads(data).cues)


class TestSubRip(Contract):
    bytes_too = True
    values = TestWebVtt.values

    def write(self, value: Any) -> bytes:
        """SubRip is only read by the program; this writes what players commonly take (no standard exists)."""
        blocks = [f"{at}\n{_comma(cue.start)} --> {_comma(cue.end)}\nx{at}\n" for at, cue in enumerate(value, 1)]
        return "\n".join(blocks).encode()

    def read(self, data: Any) -> Any:
        return list(subrip.loads(data).cues)

    def test_what_is_written_reads_back(self) -> None:
        read = self.read(b"1\n00:00:01,000 --> 00:00:02,500\nSegmentation\n\n2\n00:00:03,000 --> 00:00:04,000\nGas\n")
        assert [(cue.start, cue.end, cue.text) for cue in read] == [
            (1000, 2500, "Segmentation"),
            (3000, 4000, "Gas"),
        ]


def _comma(ms: int) -> str:
    hours, rest = divmod(ms, 3_600_000)
    return f"{hours:02d}:{rest // 60_000:02d}:{rest % 60_000 // 1000:02d},{ms % 1000:03d}"
