"""What a few typed words mean: found by name, and by other words that a person may have for the same."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from annotator.model.vocabulary import Vocabulary
from annotator.model.words.forms import folded

OTHER_WORDS = {
    "open_recordings": "new case video movie file import",
    "open_case": "load file",
    "open_sample": "demo example model eye diabetic membranes",
    "open_second_sample": "demo example model eye macular hole",
    "show_recordings": "order sort add remove files parts",
    "mark_cut": "edited shortened unmark durations",
    "mark_sped_up": "fast motion time lapse unmark durations",
    "mark_slowed": "slow motion unmark durations",
    "add_tags": "import csv table chapters captions subtitles vtt srt",
    "rename_case": "title name",
    "save_as": "copy duplicate another name",
    "show_in_folder": "where file path reveal directory",
    "find_recording": "missing moved lost video relink",
    "show_findings": "mistakes errors overlaps gaps questions",
    "show_facts": "finding gauge month consent difficulty supervision outcome number lens tamponade anaesthesia",
    "show_summary": "durations figures statistics table occurrences performer totals how long",
    "show_publish": "export write chapters durations summary clip clips still stills share folder page",
    "undo": "back take",
    "redo": "again",
    "remove_chosen": "delete erase",
    "toggle_play": "start stop run",
    "shuttle_back": "rewind reverse speed",
    "shuttle_on": "forward speed",
    "frame_back": "previous picture step",
    "frame_on": "next picture step",
    "second_back": "jump skip",
    "second_on": "jump skip",
    "previous_boundary": "jump edge tag start end before",
    "next_boundary": "jump edge tag start end after",
    "go_to_chosen": "jump show beginning",
    "previous_gap": "jump untagged empty",
    "next_gap": "jump untagged empty",
    "next_unconfirmed": "jump suggested unconfirmed open",
    "previous_unconfirmed": "jump suggested unconfirmed open",
    "filter_tags": "search find narrow only list",
    "next_same": "jump occurrence again find",
    "previous_same": "jump occurrence again find",
    "select_all": "everything mark",
    "copy_tags": "clipboard csv table text",
    "open_menu": "right click context",
    "to_start": "jump beginning first",
    "to_end": "jump last",
    "slower": "speed rate",
    "faster": "speed rate",
    "end_running": "stop finish close step",
    "start_here": "move correct edge begin in",
    "end_here": "move correct edge stop out",
    "split_chosen": "cut divide",
    "join_next": "merge unite",
    "start_earlier": "nudge move correct edge",
    "start_later": "nudge move correct edge",
    "end_earlier": "nudge move correct edge",
    "end_later": "nudge move correct edge",
    "retag_chosen": "change rename correct",
    "edit_start": "time correct",
    "edit_end": "time correct",
    "edit_step": "change rename correct",
    "edit_note": "comment remark text",
    "edit_by": "surgeon trainee teacher performer operator",
    "confirm_chosen": "accept proposed",
    "repeat_step": "again resume continue",
    "find_step": "search",
    "select_kind": "macular diabetic detachment buckle lens injection procedure type of surgery",
    "go_to_place": "clock hour zone where left right eye",
    "enlarge_chart": "clock hour zone where left right eye place",
    "play_selected": "watch again step",
    "toggle_loop": "repeat over and over again cycle step tag",
    "louder": "volume sound up",
    "quieter": "volume sound down softer",
    "toggle_mute": "volume sound off on silent",
    "zoom_in": "larger closer timeline",
    "zoom_out": "smaller wider timeline",
    "zoom_whole": "fit all timeline",
    "zoom_picture_in": "larger closer magnify enlarge",
    "zoom_picture_out": "smaller wider",
    "fit_picture": "whole all zoom reset",
    "actual_size": "zoom pixel real one to one",
    "pan_left": "pan zoom move",
    "pan_right": "pan zoom move",
    "pan_up": "pan zoom move",
    "pan_down": "pan zoom move",
    "fold_sheet": "hide panel larger picture",
    "fold_side": "hide panel record larger picture",
    "full_screen": "large picture maximise window",
    "toggle_caption": "hide name overlay time",
    "show_comparison": "agreement kappa two people mentor second other disagreements",
    "show_library": "all cases find search folder how often answer",
    "show_settings": "preferences options keys theme speed cache vocabulary",
    "toggle_theme": "bright night colours theme",
    "toggle_single_keys": "shortcuts letters",
    "show_guide": "help manual how documentation",
    "show_keys": "help keys list",
    "show_log": "fault error report crash file",
    "show_licences": "license copyright third party open source",
    "show_about": "version help qt ffmpeg python",
    "write_key_page": "shortcuts print list help",
}
"""By the name of an action."""

WHOLE, CALLED, NAMED, BEGUN, ALSO, INSIDE = range(6)


def rank(typed: str, name: str, also: str = "") -> int | None:
    """How well typed words fit, 0 best; None where one of them fits nothing. `also` holds other names, one a line.

    Best is the name itself, then the whole of another name; then a name that begins so; then names with words that
    begin so; then words of other names; then the inside of any. Letter case and dashes make no difference.
    """
    phrase, whole, others = folded(typed), folded(name), [folded(one) for one in also.splitlines()]
    if phrase == whole:
        return WHOLE
    if phrase in others:
        return CALLED
    if whole.startswith(phrase):
        return NAMED
    wanted, words, also_words = phrase.split(), _words(whole), _words(" ".join(others))
    if all(_any_begins(one, words) for one in wanted):
        return BEGUN
    if all(_any_begins(one, words + also_words) for one in wanted):
        return ALSO
    return INSIDE if all(one in whole or any(one in other for other in others) for one in wanted) else None


class Thing(NamedTuple):
    """What can be found: its name, other names, one a line, and the IRI of the concept that it stands for, if any."""

    name: str
    also: str
    concept: str = ""


class Found(NamedTuple):
    """The numbers of the things found, best first, and whether they fit the words or are only near to them."""

    numbers: list[int]
    fits: bool


def best_first(typed: str, things: Sequence[Thing], vocabulary: Vocabulary | None) -> Found:
    """The things that fit typed words.

    A concept of the vocabulary that the words mean for sure, in whatever form they are written, comes right after what
    is called so; those that they are near to are there only where nothing else fits.
    """
    places = [rank(typed, thing.name, thing.also) for thing in things]
    number_of = {thing.concept: number for number, thing in enumerate(things) if thing.concept}
    sure, near = vocabulary.may_mean(typed) if vocabulary else ((), ())
    for concept in sure:
        number = number_of.get(concept.iri)
        if number is not None and places[number] != WHOLE:
            places[number] = CALLED
    ranked = sorted((place, number) for number, place in enumerate(places) if place is not None)
    if ranked:
        return Found([number for _, number in ranked], fits=True)
    return Found([number_of[one.iri] for one in near if one.iri in number_of], fits=False)


def _words(text: str) -> list[str]:
    return text.replace("(", " ").replace("/", " ").split()


def _any_begins(wanted: str, words: Iterable[str]) -> bool:
    return any(word.startswith(wanted) for word in words)
