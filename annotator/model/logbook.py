"""How a training body wants its logbook: which columns, which steps are critical, which roles count as own."""

from collections.abc import Mapping
from typing import Final, NamedTuple

import msgspec

OWN_SHARE: Final = "own-share"
NOT_SAID: Final = "not-said"
ROLE: Final = "role"
NAME: Final = "case"
MADE = (NAME, ROLE, OWN_SHARE, NOT_SAID)
"""What a column may hold beside the facts of a case: docs/library.md says what each is."""

DECIDES: Final = "the supervisor decides"
"""What stands in every row: a share of time is no judgement of who did an operation."""


class Column(NamedTuple):
    """A column: its name in the logbook, and the code of the fact, or of what is made, that it holds."""

    name: str
    of: str


class LogbookMap(msgspec.Struct, frozen=True):
    """A logbook as it is asked for.

    critical  names of steps
    own       names of the roles that count as own
    roles     by the name of a role what it is called in the logbook
    """

    columns: tuple[Column, ...]
    critical: tuple[str, ...]
    own: tuple[str, ...]
    roles: Mapping[str, str] = {}
