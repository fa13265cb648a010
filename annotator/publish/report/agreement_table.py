"""How far people agree, as a text for a terminal."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from annotator.measure.agreement.account import letter
from annotator.measure.agreement.among import Among
from annotator.measure.agreement.chance import Share
from annotator.measure.agreement.compare import Agreement
from annotator.measure.agreement.spans import Piece
from annotator.measure.over_cases.caution import CAUTION
from annotator.measure.over_cases.spread import Spread
from annotator.model.timecode import SECOND, clock
from annotator.plain_text import one_line
from annotator.publish.report.table import aligned
from annotator.publish.report.wording import length, percent

MOST: Final = 10
"""Disagreements that are told, and pairs that are confused; the JSON has all."""

UNTAGGED: Final = "untagged"

_NOT_DEFINED: Final = "not defined"


def dumps(found: Agreement, names: Sequence[str]) -> str:
    """Two people, by the names of their cases."""
    return "\n".join([_compared(found.facet, names, length(found.within.length)), CAUTION, "", *_lines(found)]) + "\n"


def dumps_among(found: Among, pairs: Mapping[tuple[str, str], Agreement], facet: str, names: Sequence[str]) -> str:
    """Three people or more, and each pair of them."""
    lines = [_compared(facet, names, length(found.within.length)), CAUTION, ""]
    if found.alpha is None and any(agreement.is_exclusive for agreement in pairs.values()):
        lines.append(f"alpha {_NOT_DEFINED}: all say one and the same thing all the time")
    elif found.alpha is None:
        lines.append(_no_kappa(facet))
    else:
        lines.append(f"Krippendorff’s alpha {_number(found.alpha)} · Fleiss’ kappa {_number(found.fleiss_kappa)}")
    for pair, agreement in pairs.items():
        lines += ["", f"A {one_line(pair[0])} · B {one_line(pair[1])}", *_lines(agreement)]
    return "\n".join(lines) + "\n"


def _compared(facet: str, names: Sequence[str], time: str) -> str:
    called = [f"{letter(place)} {one_line(name)}" for place, name in enumerate(names)]
    return f"{facet} in {', '.join(called[:-1])} and {called[-1]}, compared over {time}"


def _lines(found: Agreement) -> Iterator[str]:
    if not (found.iou or found.moments.one or found.moments.other):
        yield f"Nothing is tagged in the category {found.facet}, so there is nothing to compare."
        return
    yield from _chance(found) if found.is_exclusive else [_no_kappa(found.facet)]
    yield _found_again(found)
    if found.is_exclusive:
        yield f"order of occurrences (edit): {_number(found.edit)}"
    yield _boundaries(found)
    if found.moments.one or found.moments.other:
        yield _moments(found)
    if found.iou:
        yield ""
        yield from _overlaps(found)
    for head, rows in (
        ("what was taken for what", _confused(found)),
        ("disagreements, the longest first", _stretches(found)),
    ):
        if rows:
            yield from ["", head, *rows]


def figures(found: Agreement) -> Iterator[str]:
    """The main figures, a line each, where there is room for no table."""
    if found.is_exclusive:
        yield f"kappa {_number(found.whole.kappa)}, the same for {percent(found.whole.accuracy)} of the time"
        yield f"over what is tagged by either: kappa {_number(found.tagged.kappa)}"
    yield _found_again(found)
    yield _boundaries(found)


def _found_again(found: Agreement) -> str:
    levels = " · ".join(f"{_number(value)} at {level} %" for level, value in found.f1.items())
    return f"occurrences found again (F1): {levels}"


def _chance(found: Agreement) -> list[str]:
    head = ("", "all of it", f"tagged by either ({length(found.tagged_time)})")
    rows = [
        ("kappa", _number(found.whole.kappa), _number(found.tagged.kappa)),
        ("the same", percent(found.whole.accuracy), percent(found.tagged.accuracy)),
        ("AC1", _number(found.whole.ac1), _number(found.tagged.ac1)),
    ]
    lines = aligned(head, rows).splitlines()
    if found.whole.kappa is None:
        lines.append("No kappa: both say one and the same thing all the time.")
    return lines


def _no_kappa(facet: str) -> str:
    return f"No kappa: tags of the category {facet} may overlap, so each concept is compared by itself."


def _boundaries(found: Agreement) -> str:
    one = found.boundaries
    says = f"boundaries: {one.one} and {one.other}"
    if one.differences is None:
        return says
    return f"{says}, {percent(one.within)} of them within {one.tolerance / SECOND:g} s; {_apart(one.differences)}"


def _moments(found: Agreement) -> str:
    one = found.moments
    says = f"moments: {one.one} and {one.other}, {one.matched} of them matched within {one.tolerance / SECOND:g} s"
    lines = [f"{says}; {_apart(one.differences)}" if one.differences else says]
    for alone in one.alone[:MOST]:
        there = ", where the other has a range" if alone.in_range else ""
        name = _label(found, alone.name)
        lines.append(f"  only {alone.side.upper()}: {name} at {clock(alone.at)}{there}")
    return "\n".join([*lines, *_others(len(one.alone))])


def _apart(spread: Spread) -> str:
    values = (spread.median, spread.lower_quartile, spread.upper_quartile)
    median, lower, upper = (f"{value / SECOND:.1f}" for value in values)
    return f"median {median} s apart (quartiles {lower} to {upper} s)"


def _overlaps(found: Agreement) -> list[str]:
    rows = [
        (_label(found, name), length(one.one), length(one.other), length(one.both), f"{one.iou:.2f}")
        for name, one in found.iou.items()
    ]
    return aligned((found.facet, "A", "B", "both", "IoU"), rows).splitlines()


def _confused(found: Agreement) -> list[str]:
    cells = [cell for cell in found.confusion if cell[0] != cell[1]]
    rows = [(_label(found, one), _label(found, other), length(ms)) for one, other, ms in cells[:MOST]]
    return [*aligned(("A", "B", "time"), rows).splitlines(), *_others(len(cells))] if rows else []


def _stretches(found: Agreement) -> list[str]:
    def row(piece: Piece) -> tuple[str, ...]:
        one, other = (_label(found, name) for name in piece.names)
        return f"{clock(piece.start)} to {clock(piece.end)}", length(piece.length), one, other

    rows = [row(piece) for piece in found.disagreements[:MOST]]
    head = ("in the recording of A", "time", "A", "B")
    return [*aligned(head, rows).splitlines(), *_others(len(found.disagreements))] if rows else []


def _others(count: int) -> list[str]:
    return [f"and {count - MOST:,} more; --json has all"] if count > MOST else []


def _label(found: Agreement, name: str | None) -> str:
    return UNTAGGED if name is None else one_line(found.labels[name])


def _number(value: Share) -> str:
    return _NOT_DEFINED if value is None else f"{value:.2f}"
