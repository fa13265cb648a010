"""Where on the retina a manoeuvre took place: clock hours by zones, as on a retina drawing, and parts with a name.

Clock hours are counted as the examiner faces the eye, 12 up; the zones run outward from the posterior pole
(common practice, no source). Where a zone ends is taken from the International Widefield Imaging Study Group
(Choudhry et al., Ophthalmology Retina 2019; 3: 843-849; from memory): the posterior pole reaches to just beyond the
arcades, the mid-periphery to the ampullae of the vortex veins, the far periphery from there to the ora.
"""

import re
from collections.abc import Iterable, Iterator
from enum import StrEnum
from typing import NamedTuple, TypeAlias

from annotator.errors import InvalidEdit


class Eye(StrEnum):
    RIGHT = "right"
    LEFT = "left"


ZONES = ("posterior", "mid-periphery", "equator", "far periphery", "ora", "pars plana")
"""Outward. Equator and ora are lines to the eye, the pars plana lies beyond the retina; hours count on all of them."""
AREAS = ("posterior", "mid-periphery", "far periphery")
"""The zones that together are the retina."""
ARCADES = tuple(f"{side} arcade" for side in ("superotemporal", "superonasal", "inferonasal", "inferotemporal"))
PARTS = ("fovea", "macula", "disc", *ARCADES)
"""Parts of the posterior pole that go by a name; none has clock hours."""
HOURS = range(1, 13)
NO_HOUR = 0


class Field(NamedTuple):
    """A clock hour (1 to 12) of a zone, or a part with a name, whose hour is NO_HOUR."""

    hour: int
    zone: str


FIELDS = (
    *(Field(NO_HOUR, part) for part in PARTS),
    *(Field(hour, zone) for zone in ZONES for hour in HOURS),
)
"""Every field there is: the named parts, then zones outward, hours clockwise from 1."""

Place: TypeAlias = frozenset[Field]
"""The fields touched; empty where nobody said."""


def print_place(place: Place) -> str:
    """The text that parse_place reads back to the same place: named parts, zones outward, hours from the first run."""
    parts = [part for part in PARTS if Field(NO_HOUR, part) in place]
    for zone in ZONES:
        hours = [field.hour for field in place if field.zone == zone]
        if len(hours) == len(HOURS):
            parts.append(zone)
        elif hours:
            written = (f"{first}" if first == last else f"{first}-{last}" for first, last in runs(hours))
            parts.append(f"{'/'.join(written)} {zone}")
    return "; ".join(parts)


def runs(hours: Iterable[int]) -> list[tuple[int, int]]:
    """Clock hours as first and last of each run, one that passes 12 kept whole: 11, 12, 1 gives (11, 1).

    In order of the first hours. All twelve are one run from 1 to 12.
    """
    held = set(hours)
    if held == set(HOURS):
        return [(1, 12)]
    found = []
    for start in sorted(hour for hour in held if (hour - 2) % 12 + 1 not in held):
        end = start
        while end % 12 + 1 in held:
            end = end % 12 + 1
        found.append((start, end))
    return found


def clockwise(first: int, last: int) -> list[int]:
    """The clock hours from one to another, both included, over 12 where it has to be."""
    return [(first + step - 1) % 12 + 1 for step in range((last - first) % 12 + 1)]


def hours_of(side: str, eye: Eye) -> list[int]:
    """The clock hours of `superotemporal`, `nasal` and the like in an eye: four for a quadrant, borders included.

    Three for `superior` and the others of one word. Seen from the front, the nose is on the right of a right eye.
    Our definition.
    """
    nose = 3 if eye is Eye.RIGHT else 9
    middle = {"superior": 12, "inferior": 6, "nasal": nose, "temporal": (nose + 5) % 12 + 1}
    if side in middle:
        return clockwise((middle[side] - 2) % 12 + 1, middle[side] % 12 + 1)
    up, across = middle["superior" if side.startswith("super") else "inferior"], middle[side[6:]]
    return clockwise(up, across) if (across - up) % 12 == 3 else clockwise(across, up)


# --- reading ---------------------------------------------------------------------------------------------

_SIDES = ("superior", "inferior", "nasal", "temporal")
_QUADRANTS = {
    f"{one}o{side}": (f"{one}o {side}", f"{one}ior {side}", f"{one[0]}{side[0]}")
    for one in ("super", "infer")
    for side in ("temporal", "nasal")
}
_UPRIGHT = ("superior", "inferior")
"""Sides that are the same in either eye."""
_ALL_ROUND = "all round"
_BEARINGS = {
    **{written: name for name, forms in _QUADRANTS.items() for written in forms},
    **{side: side for side in _SIDES},
    _ALL_ROUND: _ALL_ROUND,
}
"""What stands for clock hours."""


def _arcades() -> dict[str, tuple[str, ...]]:
    """The arcades by all their names: one, the two of a side, all four."""
    found = {"": ARCADES}
    found |= {written: (f"{name} arcade",) for written, name in _BEARINGS.items() if name in _QUADRANTS}
    found |= {side: tuple(one for one in ARCADES if side.removesuffix("ior") in one) for side in _SIDES}
    kinds = ("arcade", "arcades", "vascular arcade", "vascular arcades")
    return {f"{side} {kind}".strip(): which for side, which in found.items() for kind in kinds}


def _key(written: str) -> str:
    """What is looked up: words may be joined by hyphens, or by nothing."""
    return re.sub(r"[\s-]", "", written)


_NAMES = {
    **_arcades(),
    **dict.fromkeys(("posterior", "posterior pole"), ("posterior",)),
    **dict.fromkeys(("mid periphery", "mid peripheral"), ("mid-periphery",)),
    **dict.fromkeys(("equator", "equatorial"), ("equator",)),
    **dict.fromkeys(("far periphery", "far peripheral"), ("far periphery",)),
    **dict.fromkeys(("ora", "ora serrata"), ("ora",)),
    "pars plana": ("pars plana",),
    **dict.fromkeys(("fovea", "foveal"), ("fovea",)),
    **dict.fromkeys(("macula", "macular"), ("macula",)),
    **dict.fromkeys(("disc", "disk", "optic disc", "optic disk", "optic nerve head"), ("disc",)),
}
"""What is written for zones and parts."""

_MEANS = {_key(written): names for written, names in _NAMES.items()}
_SIDE = {_key(written): side for written, side in _BEARINGS.items()}


def _any_of(names: Iterable[str]) -> str:
    """A pattern of any of the names, the longest first."""
    return "|".join(re.sub(" ", r"[\\s-]*", name) for name in sorted(names, key=len, reverse=True))


_LONGEST = 60
"""Characters of a place that are quoted where it is refused."""

_IDLE = re.compile(r"(?<![a-z])(?:o'?\s*clock|quadrants?|retina|the)(?![a-z])")
_WORD = re.compile(
    r"\s*(?:(?P<hours>\d{1,2}(?:\s*(?:-|to)\s*\d{1,2})?)(?!\d)|(?P<joint>[,/&+]|and(?![a-z]))"
    rf"|(?P<name>{_any_of(_NAMES)})(?![a-z])|(?P<bearing>{_any_of(_BEARINGS)})(?![a-z]))\s*",
    re.ASCII,
)
_DASHES = str.maketrans({"\u2010": "-", "\u2011": "-", "\u2012": "-", "\u2013": "-", "\u2014": "-", "\u2019": "'"})


def parse_place(text: str, eye: Eye | None = None) -> Place:
    """Read `4-6 mid-periphery; 5 o'clock, posterior; macula`; a zone without hours means all twelve.

    Hours may run over 12. A quadrant, which is that of an eye, becomes its clock hours; without a zone it is all of
    the retina there. Raises InvalidEdit with the form expected.
    """
    fields: set[Field] = set()
    for part in filter(None, (part.strip() for part in text.split(";"))):
        fields |= _Part(part, eye).fields()
    return frozenset(fields)


class _Part:
    """What stands between two semicolons: clock hours or a side, then zones, over and over; or names alone."""

    def __init__(self, part: str, eye: Eye | None) -> None:
        self._said = part
        self._eye = eye

    def fields(self) -> set[Field]:
        """Raises InvalidEdit."""
        groups = self._groups()
        if len(groups) == 2 and not groups[0][0] and not groups[1][1]:  # `mid-periphery 4-6`
            groups = [(groups[1][0], groups[0][1])]
        return {field for hours, names in groups for field in self._group(hours, names)}

    def _groups(self) -> list[tuple[list[str], list[str]]]:
        """Hours or sides, and the names that follow them."""
        groups: list[tuple[list[str], list[str]]] = []
        before = "joint"
        for kind, word in self._words():
            if kind == before or (kind == "joint" and not groups):
                raise self._refused()
            if kind == "name":
                if not groups:
                    groups.append(([], []))
                groups[-1][1].append(word)
            elif kind != "joint":
                if not groups or groups[-1][1]:
                    groups.append(([], []))
                groups[-1][0].append(word)
            before = kind
        if before == "joint":
            raise self._refused()
        return groups

    def _words(self) -> Iterator[tuple[str, str]]:
        """The kind of each word, and the word: hours as they stand, others by the name that is listed."""
        text = _IDLE.sub(" ", self._said.lower().translate(_DASHES)).strip()
        at = 0
        while at < len(text):
            found = _WORD.match(text, at)
            if found is None or found.lastgroup is None:
                raise self._refused()
            at, kind = found.end(), found.lastgroup
            yield kind, found[kind]

    def _group(self, hours: list[str], names: list[str]) -> Iterator[Field]:
        fields = [name for written in names for name in _MEANS[_key(written)]]
        if hours and not fields:
            if any(word[0].isdigit() for word in hours):
                raise self._refused()
            fields = list(AREAS)
        if hours and fields[0] in PARTS:
            raise self._refused("has clock hours for a part that has none")
        numbers = [hour for word in hours for hour in self._hours(word)] or list(HOURS)
        for name in fields:
            if name in PARTS:
                yield Field(NO_HOUR, name)
            else:
                yield from (Field(hour, name) for hour in numbers)

    def _hours(self, word: str) -> list[int]:
        """The clock hours of `4-6`, or of a side."""
        if word[0].isdigit():
            ends = [int(number) for number in re.findall(r"\d+", word)]
            if any(end not in HOURS for end in ends):
                raise self._refused()
            return clockwise(ends[0], ends[-1])
        side = _SIDE[_key(word)]
        if side == _ALL_ROUND:
            return list(HOURS)
        if self._eye is None and side not in _UPRIGHT:
            raise self._refused("depends on which eye it is, and this case does not say; give the eye first")
        return hours_of(side, self._eye or Eye.RIGHT)

    def _refused(self, why: str = "is not a place on the retina") -> InvalidEdit:
        return InvalidEdit(
            f"“{self._said[:_LONGEST]}” {why}; write clock hours and a zone ({', '.join(ZONES)}), such as "
            "4-6 mid-periphery; 5 posterior, a part such as macula, disc or superotemporal arcade, or, where the eye "
            "is given, a quadrant"
        )
