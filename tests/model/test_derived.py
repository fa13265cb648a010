"""What is worked out once holds only as long as the field that it came from is the same."""

import msgspec
from msgspec.structs import replace

from annotator.model.derived import derived_from

worked_out: list[str] = []


class Thing(msgspec.Struct, frozen=True, dict=True):
    words: tuple[str, ...]
    name: str = ""

    @derived_from("words")
    def letters(self) -> int:
        """How many there are."""
        worked_out.append("letters")
        return sum(map(len, self.words))

    @derived_from("name")
    def shouted(self) -> str:
        worked_out.append("shouted")
        return self.name.upper()


def test_it_is_worked_out_once_for_each_value() -> None:
    worked_out.clear()
    thing = Thing(("one", "three"), "x")
    assert [thing.letters, thing.letters, thing.shouted, thing.shouted] == [8, 8, "X", "X"]
    assert worked_out == ["letters", "shouted"]


def test_it_follows_its_own_field_into_changed_copies() -> None:
    """Whether a copy takes along what was worked out differs between versions of the library."""
    thing = Thing(("one",), "x")
    assert (thing.letters, thing.shouted) == (3, "X")
    renamed = replace(thing, name="y")
    assert (renamed.letters, renamed.shouted) == (3, "Y")
    longer = replace(renamed, words=("one", "two"))
    assert (longer.letters, longer.shouted) == (6, "Y")
    assert (thing.letters, thing.shouted) == (3, "X")


def test_what_a_copy_takes_along_does_not_hold_for_another_field() -> None:
    thing = Thing(("one",), "x")
    assert (thing.letters, thing.shouted) == (3, "X")
    longer = Thing(("one", "two"), "x")
    longer.__dict__.update(thing.__dict__)
    assert (longer.letters, longer.shouted) == (6, "X")


def test_what_is_worked_out_is_no_part_of_the_value() -> None:
    asked, unasked = Thing(("one",)), Thing(("one",))
    assert asked.letters == 3
    assert asked == unasked
    assert msgspec.json.encode(asked) == msgspec.json.encode(unasked)
