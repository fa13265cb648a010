"""The written truth of a recording: its tags as a table and its narration as captions."""

import csv
import io

from .clock import Reel
from .script import Script

COLUMNS = ("start", "end", "step", "performer", "place", "certainty", "note", "strength")

_WIDEST = 42
"""Characters on a line of a caption, the usual limit."""


def stretch(script: Script, reel: Reel) -> float:
    """Seconds of recording for one second of script."""
    return float(reel.exact(reel.count)) / script.length


def steps(script: Script, reel: Reel) -> str:
    """All tags as CSV; every time is that of a frame on the case's clock."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for row in script.rows:
        start, end = _frame(script, reel, row.start), _frame(script, reel, row.end)
        if row.end > row.start:
            end = max(end, start + 1)
        times = [stamp(reel.case_ms(number)) for number in (start, min(end, reel.count))]
        writer.writerow([*times, *row[2:]])
    return out.getvalue()


def narration(script: Script, reel: Reel) -> str:
    """The narration as WebVTT, invented and marked so."""
    lines = [
        "WEBVTT",
        "",
        "NOTE",
        "Invented narration of an invented operation on a model eye, drawn by a computer.",
        "No person was operated on, no person speaks.",
    ]
    for number, line in enumerate(script.narration, start=1):
        times = [f"0{stamp(reel.case_ms(_frame(script, reel, t)))}" for t in (line.start, line.end)]
        lines += ["", f"narration-{number}", " --> ".join(times), in_lines(line.text)]
    return "\n".join(lines) + "\n"


def in_lines(text: str) -> str:
    """A caption's words on one line, or broken where two lines are the most even."""
    if len(text) <= _WIDEST:
        return text
    gaps = [at for at, letter in enumerate(text) if letter == " "]
    middle = min(gaps, key=lambda at: max(at, len(text) - at - 1))
    return f"{text[:middle]}\n{text[middle + 1 :]}"


def stamp(ms: int) -> str:
    """H:MM:SS.mmm"""
    seconds, thousandths = divmod(ms, 1000)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02d}:{seconds:02d}.{thousandths:03d}"


def _frame(script: Script, reel: Reel, t: float) -> int:
    return reel.nearest(t * stretch(script, reel))
