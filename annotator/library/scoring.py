"""The scores of many cases, each operation once. Nothing is written."""

from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from annotator.errors import AnnotatorError
from annotator.library.members import members_in
from annotator.measure.over_cases.scores import Scored
from annotator.measure.over_cases.series import LeftOut, Member, once
from annotator.model.sheet import Score, Sheet
from annotator.progress import Progress, silent
from annotator.store.scores import read_scores


class Scores(NamedTuple):
    """The cases with scores in the order of their numbers, how many cases nobody scored, and which don't count."""

    scored: tuple[Scored, ...]
    unscored: int
    left_out: tuple[LeftOut, ...]


def scores_in(paths: Iterable[Path], sheet: Sheet, progress: Progress = silent) -> Scores:
    """The scores by a sheet of every case in files and folder trees. Raises StoreError for one that is not there."""
    found = members_in(paths, progress)
    left_out = list(found.left_out)
    with_scores: list[Member] = []
    scores: dict[str, tuple[Score, ...]] = {}
    unscored = 0
    for one, path in zip(found.members, found.paths, strict=True):
        try:
            scores[one.name] = read_scores(path, sheet)
        except AnnotatorError as error:
            left_out.append(LeftOut(one.name, "its scores can't be read", " ".join(str(error).split())))
            continue
        if scores[one.name]:
            with_scores.append(one)
        else:
            unscored += 1
    counted = once(with_scores)
    scored = tuple(Scored(one.name, scores[one.name], one.number) for one in counted.members)
    return Scores(scored, unscored, (*left_out, *counted.left_out))
