"""The answer of a library as sentences, the same on screen and in the terminal."""

from annotator.measure.over_cases.answer import Answer
from annotator.measure.over_cases.shares import Share
from annotator.measure.over_cases.times import SEED
from annotator.model.timecode import span


def answer_lines(label: str, out_of: str, answer: Answer) -> list[str]:
    """In how many cases, how long, and when it ends; `out_of` says which cases are counted."""
    share = answer.share
    return [f"{label}: in {share.cases} of {share.of} ({out_of}){_percent(share)}", *_times(answer)]


def _percent(share: Share) -> str:
    if share.share is None:
        return ""
    if share.interval is None:
        return "; no interval under five cases"
    low, high = share.interval
    return f", {share.share:.1%}; 95 % interval {low:.1%} to {high:.1%}"


def _times(answer: Answer) -> list[str]:
    times = answer.times
    if times.median is None:
        return ["no time: it was tagged as moments only"] if answer.moments else []
    if times.quartiles is None or times.median_interval is None:
        listed = ", ".join(map(span, times.times))
        return [f"time in each case: {listed}; median {span(times.median)}, no interval under five cases"]
    low, high = map(span, times.quartiles)
    first, last = map(span, times.median_interval)
    ends = [] if answer.last_end is None else [f"last ended at {span(answer.last_end)} (median)"]
    return [
        f"time in {len(times.times)} cases: median {span(times.median)}, quartiles {low} and {high}",
        f"95 % interval of the median {first} to {last}, by bootstrap (seed {SEED})",
        *ends,
    ]
