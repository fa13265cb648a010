"""Colours and sizes by name, for both themes: the only place where either is written as a number."""

from typing import NamedTuple


class Colours(NamedTuple):
    """One theme. Every colour as `#rrggbb`.

    ground         the window
    panel          sheet, record, timeline, bars
    raised         fields, buttons, empty bands, key caps
    line           borders
    text, muted    first and second rank of writing
    accent         running step, window of the playhead, the one main button
    accent_ground  running row
    on_accent      writing on the accent
    warning        findings and events
    bar            techniques, instruments and whatever has no phase
    """

    ground: str
    panel: str
    raised: str
    line: str
    text: str
    muted: str
    accent: str
    accent_ground: str
    on_accent: str
    warning: str
    bar: str


DARK = Colours(
    ground="#12161b",
    panel="#191f26",
    raised="#222a33",
    line="#2d3742",
    text="#e8edf2",
    muted="#9fb0c0",
    accent="#5cc8bd",
    accent_ground="#173f3d",
    on_accent="#0b1d1b",
    warning="#e69f00",
    bar="#7d8b99",
)

LIGHT = Colours(
    ground="#eef1f4",
    panel="#ffffff",
    raised="#f4f7f9",
    line="#d3dbe2",
    text="#17212b",
    muted="#4a5a69",
    accent="#0b6b63",
    accent_ground="#d8efec",
    on_accent="#ffffff",
    warning="#8a5a00",
    bar="#a9b5c0",
)

PICTURE_GROUND = "#05070a"
CAPTION_GROUND = "#d905070a"
"""Over the picture, with its opaqueness in front; light words on it are legible over white too."""

PICTURE_TEXT = "#e8edf2"
PICTURE_MUTED = "#9fb0c0"
"""Around and on the picture both themes are dark: a bright frame would spoil the eye for the picture."""

DARK_INK = "#0c1116"
LIGHT_INK = "#ffffff"

UNIT = 4
ROW = 27
BAR = 44
CONTROL = 30
SMALL_CONTROL = 26
FIELD_LABEL = 10 * UNIT
"""Width of the words before the fields of a form, so that the fields stand under one another."""

LARGE_CORNER, CORNER, SMALL_CORNER, BAND_CORNER = 10, 6, 4, 3
"""Of cards; of fields and buttons; of what stands within these; of bands."""

SMALL_SIZE, TEXT_SIZE, LARGE_SIZE, CLOCK_SIZE, HEADLINE_SIZE = 12, 13, 15, 18, 22
"""All sizes of type in pixels; nothing smaller is written anywhere."""

SMALL_ICON, ICON, LARGE_ICON = 16, 18, 36
"""Beside words and in quiet corners; alone on a button; on a card."""

ICON_BUTTON, SMALL_ICON_BUTTON = 34, 28
"""Widths of buttons without words."""


def ink_on(colour: str) -> str:
    """The ink, dark or light, that stands out more on a colour."""
    return max((DARK_INK, LIGHT_INK), key=lambda ink: contrast(ink, colour))


def mixed(colour: str, ground: str) -> str:
    """Half of a colour and half of what it lies on."""
    parts = (round((int(colour[at : at + 2], 16) + int(ground[at : at + 2], 16)) / 2) for at in (1, 3, 5))
    return "#" + "".join(f"{part:02x}" for part in parts)


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two `#rrggbb` colours, 1 to 21.

    WCAG 2.2, definitions of "contrast ratio" and "relative luminance",
    https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio .
    """
    darker, lighter = sorted((_luminance(one), _luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: str) -> float:
    parts = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
