"""Progress of a part is its share of the whole, and what the part tells reaches whoever watches the whole."""

from hypothesis import given
from hypothesis import strategies as st

from annotator.progress import Scaled, silent, tell


class Watched:
    """Progress that keeps all that it is told."""

    def __init__(self) -> None:
        self.shares: list[float] = []
        self.words: list[str] = []

    def __call__(self, done: float, total: float, /) -> None:
        self.shares.append(done / total)

    def tell(self, words: str, /) -> None:
        self.words.append(words)


@given(st.integers(1, 50).flatmap(lambda parts: st.tuples(st.integers(0, parts - 1), st.just(parts))))
def test_parts_follow_one_another(part: tuple[int, int]) -> None:
    done, parts = part
    watched = Watched()
    for reached in (0, 1, 4):
        Scaled(watched, done, done + 1, parts)(reached, 4)
    assert [round(share * parts, 6) for share in watched.shares] == [done, done + 0.25, done + 1]


def test_a_piece_of_no_length_is_at_its_beginning() -> None:
    watched = Watched()
    Scaled(watched, 0.25, 1)(0, 0)
    assert watched.shares == [0.25]


def test_what_a_part_of_a_part_tells_comes_through() -> None:
    watched = Watched()
    tell(Scaled(Scaled(watched, 0.5, 1), 3, 4, 14), "clip 4 of 14")
    assert watched.words == ["clip 4 of 14"]
    tell(silent, "nobody listens")
