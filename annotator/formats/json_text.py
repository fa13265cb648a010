"""JSON for other programs: every text to the letter, but what a terminal could obey as an escape (RFC 8259, section 7).

Such JSON says the same to a program, and can be looked at.
"""

import json
from typing import Any

import msgspec

from annotator.plain_text import is_seen


def dumps(value: Any) -> str:
    """The value over several lines. Raises TypeError for what JSON has no form for."""
    text = msgspec.json.format(msgspec.json.encode(value)).decode()
    # A line end can only be part of the layout here: in texts the encoder has escaped it.
    return "\n".join(line if line.isprintable() else _escaped(line) for line in text.split("\n"))


def _escaped(line: str) -> str:
    return "".join(one if is_seen(one) else json.dumps(one)[1:-1] for one in line)
