"""Read what a review is asked of, and make it."""

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from msgspec.structs import replace

from annotator.errors import InvalidEdit, StoreError
from annotator.formats.tables import reference_csv
from annotator.library.members import member_at, members_in
from annotator.measure.over_cases.cusum import design
from annotator.measure.over_cases.review import Asked, Review, of_group, review
from annotator.measure.over_cases.series import (
    LeftOut,
    common_vocabulary,
    in_full,
    in_period,
    is_same_operation,
    series,
)
from annotator.model.reference import Reference
from annotator.model.vocabulary import Vocabulary
from annotator.progress import Progress, Scaled, silent
from annotator.store.vocabularies import naming, read_text

TABLE_ENDINGS = (".csv", ".tsv", ".txt")
"""Of a table of reference times; anything else is a case or a folder of cases."""

_FEW = 3
"""Reasons that are told where no case is left."""


class Request(NamedTuple):
    """What a review is asked of.

    case         the one that is laid beside others; None: the cases of `among` by themselves
    references   tables, cases, and folders of cases
    event        in the words of whoever asks, with `rates`, the acceptable one first; or None
    first, last  months, as 2026-03, or empty
    """

    case: Path | None
    among: Sequence[Path]
    references: Sequence[Path] = ()
    within: Sequence[str] = ()
    event: str | None = None
    rates: tuple[float, float] | None = None
    first: str = ""
    last: str = ""
    with_altered: bool = False


class Reviewed(NamedTuple):
    """A review, and the vocabulary that its terms are of."""

    review: Review
    vocabulary: Vocabulary


def reviewed(request: Request, progress: Progress = silent) -> Reviewed:
    """The review. Raises StoreError where there is no case or a file can't be read, InvalidFile for what is no case or
    no table, UnknownName for an event or a category that the vocabulary lacks, InvalidEdit for wrong rates.
    """
    this = member_at(request.case) if request.case else None
    found = members_in(request.among, Scaled(progress, 0, 1, 2))
    others = [one for one in found.members if this is None or not is_same_operation(one, this)]
    kept, outside = in_period(others, request.first, request.last)
    vocabulary = this.case.vocabulary if this else common_vocabulary(kept)
    if vocabulary is None:
        raise StoreError(_no_case([*found.left_out, *outside], of_other_months=len(others) - len(outside)))
    among = series(kept, vocabulary, request.with_altered)
    references, missing = _references(request.references, vocabulary, request.with_altered, Scaled(progress, 1, 2, 2))
    made = review(among, this, references, _asked(request, vocabulary))
    left_out = (*found.left_out, *outside, *made.left_out, *missing)
    return Reviewed(replace(made, left_out=left_out), vocabulary)


def _no_case(left_out: Sequence[LeftOut], of_other_months: int = 0) -> str:
    """Why there is nothing to review."""
    if of_other_months:
        return "No case is of the months that were asked for; set --from and --to further apart"
    if not left_out:
        return "There is no case in what was given; name case files, or a folder that holds some"
    few = "; ".join(in_full(one) for one in left_out[:_FEW])
    return f"No case that was given can be reviewed: {few}"


def _references(
    paths: Sequence[Path], vocabulary: Vocabulary, with_altered: bool, progress: Progress
) -> tuple[list[Reference], list[LeftOut]]:
    """Of tables and of groups of cases, in the order in which they are given; and the cases that do not count."""
    references: list[Reference] = []
    missing: list[LeftOut] = []
    for at, path in enumerate(paths):
        if path.suffix.lower() in TABLE_ENDINGS:
            with naming(path):
                references += reference_csv.loads(read_text(path), vocabulary)
            continue
        found = members_in([path], Scaled(progress, at, at + 1, len(paths)))
        group = series(found.members, vocabulary, with_altered)
        if not group.members:
            raise StoreError(f"{path}: {_no_case([*found.left_out, *group.left_out])}")
        references += of_group(group, path.name)
        missing += [*found.left_out, *group.left_out]
    return references, missing


def _asked(request: Request, vocabulary: Vocabulary) -> Asked:
    if request.event is None or request.rates is None:
        return Asked(request.within)
    limits = design(*request.rates)
    facets = [facet.name for facet in vocabulary.facets if facet.moments]
    if not facets:
        raise InvalidEdit(f"The vocabulary {vocabulary.name} has no events to watch")
    return Asked(request.within, vocabulary.match(request.event, facets[0]).notation, limits)
