"""The one sentence that stands wherever numbers are about people."""

from typing import Final

CAUTION: Final = (
    "These numbers describe recordings that were tagged. They rank nobody and judge no one’s competence: cases differ."
)
