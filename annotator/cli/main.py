"""The group of all verbs, and the one edge where an error becomes a sentence and an exit status.

Exit status: 0 done, 1 findings (where a verb looks for any), 2 wrong use, wrong input, or a result that could
not be written or printed, 70 a fault in the program itself, 130 stopped by the user, 143 or 129 told to end by another
program or by the terminal's closing (128 and the number of the signal).

Whoever reads our output may stop reading, as `head` does: that is no failure. Where nobody can read our messages,
the work is done all the same, and the exit status tells.
"""

import errno
import os
import sys
from importlib import import_module
from io import TextIOWrapper
from typing import NoReturn

import click

from annotator import __version__
from annotator.cli import STOPPED
from annotator.cli.ending import Ended, ending_cleanly
from annotator.cli.telling import tell
from annotator.durable import why
from annotator.errors import LONGEST_SENTENCE, AnnotatorError, Cancelled, UnknownName
from annotator.plain_text import plain

VERBS = {
    "demo": "Run the whole job on the bundled sample.",
    "inspect": "Describe a recording.",
    "new": "Start a case from one or more recordings.",
    "facts": "Say what is known of a case, or list it.",
    "set": "Say which eye it is, and which kind of operation.",
    "tags": "Add tags to a case, or list them.",
    "check": "List what may be wrong with the tags.",
    "chapters": "Write a WebVTT chapter file.",
    "embed": "Write a copy of the recording with chapters inside.",
    "clips": "Write a clip or a still of each selected tag.",
    "share": "Write a web page with video, in a folder to pass on.",
    "durations": "Sum up how long each step took.",
    "review": "Lay a case beside earlier ones, or review a period.",
    "scores": "Score a case by a sheet, and lay raters side by side.",
    "logbook": "Print cases as rows of a logbook.",
    "library": "Find tags in many cases, and answer questions over them.",
    "compare": "Compare two people's tags of one recording.",
    "blind": "Make a case for a second person, who tags without seeing the first's.",
    "merge": "Make one case of two copies that were edited apart.",
    "vocab": "List, check, convert and compare vocabularies.",
    "open": "Open the window.",
}

WRONG_INPUT = 2
FAULT = 70


class Verbs(click.Group):
    """A group that knows its verbs by name and imports one only to run it."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(VERBS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in VERBS:
            raise UnknownName("command", cmd_name, VERBS)
        command: click.Command = import_module(f"annotator.cli.{cmd_name}").command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(VERBS.items()))


@click.group(
    cls=Verbs,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="Example:  annotator demo\n\nEach command has its own help:  annotator tags --help",
)
@click.version_option(__version__, prog_name="annotator")
def main() -> None:
    """Tag the steps of a surgical recording; export WebVTT chapters and a summary of durations.

    For teaching material. Not a medical device, not a clinical record. Consent and your local
    privacy rules apply to every recording and to everything made from it.
    """


def run() -> NoReturn:
    """Run the command line and leave with its exit status; no traceback reaches the user."""
    _stand_in_for_closed_streams()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors="replace")
    try:
        with ending_cleanly():
            status = _status()
    except Ended as ended:  # while another end was being answered
        status = ended.status
    except KeyboardInterrupt:  # once more, while the first was being answered
        status = STOPPED
    _let_go_of_what_could_not_be_printed()
    sys.exit(status)


def _stand_in_for_closed_streams() -> None:
    """Where a stream was closed by whoever started us, its number would go to the next file that is opened.

    Then what a library writes as a message would end up in a case. A stand-in that refuses what is written to it
    takes the number, so that a result without a way out is a failure as on a full disk.
    """
    for descriptor in (0, 1, 2):
        try:
            os.fstat(descriptor)
        except OSError:
            os.set_inheritable(os.open(os.devnull, os.O_RDONLY), True)
    sys.stdout = sys.stdout or os.fdopen(1, "w", closefd=False)
    sys.stderr = sys.stderr or os.fdopen(2, "w", closefd=False)


def _let_go_of_what_could_not_be_printed() -> None:
    """Or Python would complain of it once more on its way out."""
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except OSError:
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def _status() -> int:
    try:
        return int(main.main(prog_name="annotator", standalone_mode=False) or 0)
    except click.exceptions.NoArgsIsHelpError as error:
        tell(error.ctx.get_help() if error.ctx else "")
        return WRONG_INPUT
    except click.MissingParameter as error:
        missing = plain(error.format_message(), LONGEST_SENTENCE).rstrip(".")
        verb = error.ctx.command_path if error.ctx else "annotator"
        return _complain(f"{missing}; {verb} --help shows an example", WRONG_INPUT)
    except click.ClickException as error:
        return _complain(plain(error.format_message(), LONGEST_SENTENCE), WRONG_INPUT)
    except Ended as ended:
        return _complain("ended by the system; nothing is left half-written", ended.status)
    except (KeyboardInterrupt, click.Abort, Cancelled):
        return _complain("stopped; nothing is left half-written", STOPPED)
    except AnnotatorError as error:
        return _complain(str(error), WRONG_INPUT)
    except SystemExit:
        # When it is told not to leave by itself, click does so only where the reader of our output has stopped reading.
        return 0
    except Exception as error:  # noqa: BLE001  # the one place where nothing may pass
        if isinstance(error, OSError) and _came_from_printing(error):
            says = "the output is closed; keep it open" if error.errno == errno.EBADF else why(error)
            return _complain(f"the result can't be printed: {says}", WRONG_INPUT)
        return _complain(_report(error), FAULT)


def _complain(sentence: str, status: int) -> int:
    tell(f"annotator: {sentence}")
    return status


def _came_from_printing(error: OSError) -> bool:
    """Everything that is printed, by click itself too, goes through one function of its."""
    import traceback

    return any(frame.f_code is click.echo.__code__ for frame, _line in traceback.walk_tb(error.__traceback__))


def _report(error: Exception) -> str:
    """Keep the details of a fault in the program for its developers; a sentence for the user."""
    from annotator.workflow.log import keep_fault, open_log

    sentence = f"a fault in the program ({type(error).__name__}: {plain(str(error))}); please report it"
    log = open_log()
    if log is None:
        return sentence
    keep_fault(error)
    return f"{sentence} with the contents of {log}"
