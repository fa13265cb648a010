"""Text from a stranger's file or file name, made fit for a terminal or a message."""

import unicodedata

from annotator.media.limits import MAX_TEXT


def plain(text: str, most: int = MAX_TEXT) -> str:
    """The text on one line, without control characters, marks that turn its direction, or broken code points."""
    line = " ".join("".join(char if _is_harmless(char) else " " for char in text).split())
    return line if len(line) <= most else line[: most - 1] + "…"


def _is_harmless(char: str) -> bool:
    # The two joiners are part of how some scripts are spelt.
    return char in "\u200c\u200d" or unicodedata.category(char) not in ("Cc", "Cf", "Cs", "Zl", "Zp")
