"""Lengths of time as people read them."""

from annotator.model.timecode import HOUR, MINUTE, SECOND, Ms


def length(ms: Ms) -> str:
    """To the ms, hours only where there are any: `0:07.480`, `12:05.000`, `1:02:05.480`."""
    hours, rest = divmod(ms, HOUR)
    minutes, rest = divmod(rest, MINUTE)
    seconds, thousandths = divmod(rest, SECOND)
    end = f"{seconds:02d}.{thousandths:03d}"
    return f"{hours}:{minutes:02d}:{end}" if hours else f"{minutes}:{end}"
