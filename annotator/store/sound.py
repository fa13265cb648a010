"""Whether a case can be written to a file so that it is read back as it was."""

from annotator.errors import InvalidEdit, InvalidFile
from annotator.formats.case import casefile
from annotator.model.case import Case


def checked(case: Case) -> bytes:
    """The text of a case that is certain to be read back. Raises InvalidEdit."""
    try:
        data = casefile.dumps(case, 0)
        if casefile.loads(data)[0] == case:
            return data
        faults: tuple[str, ...] = ("it contains values that JSON has no form for, or its tags are out of order",)
    except (TypeError, UnicodeEncodeError, RecursionError) as error:
        faults = (str(error),)
    except InvalidFile as error:
        faults = error.faults
    raise InvalidEdit(f"this case can't be written to a file: {'; '.join(faults)}")
