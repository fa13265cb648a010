"""Every command that README and the pages name exists as written: its verb, its options, its make target."""

import os
import re
import subprocess
from pathlib import Path

import click
import pytest

from annotator.cli.main import VERBS, main

ROOT = Path(__file__).resolve().parents[2]
DOCUMENTS = [ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md"))]
NAMED = re.compile(r"(?:`|\$ |^)(?:\.venv/bin/|py -m |python3 -m )?annotator((?: [^`\n]*)?)", re.MULTILINE)
MADE = re.compile(r"(?:`|^)make ([a-z]+)", re.MULTILINE)


def command_of(words: list[str]) -> click.Command:
    """The command that the first words name: a verb, or a verb of a group such as `vocab list`."""
    found: click.Command = main
    context = click.Context(main)
    while isinstance(found, click.Group) and words and not words[0].startswith("-"):
        del words[: sum(isinstance(one, click.Argument) for one in found.params)]
        if not words:
            break
        inner = found.get_command(context, words.pop(0))
        assert inner is not None
        found = inner
    return found


def named(document: Path) -> list[str]:
    return [line.strip() for line in NAMED.findall(document.read_text(encoding="utf-8")) if line.strip()]


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda path: path.name)
def test_every_command_that_a_page_names_exists_with_its_options(document: Path) -> None:
    for line in named(document):
        words = line.split("  # ")[0].split()
        assert words[0] in VERBS or words[0].startswith("--"), f"{document.name}: annotator {line}: no such verb"
        command = command_of(words)
        known = {"--help", *(option for one in command.params for option in one.opts)}
        asked = {word for word in words if word.startswith("--")}
        assert asked <= known, f"{document.name}: annotator {line}: {asked - known}"


def test_each_verb_is_named_on_some_page() -> None:
    seen = {line.split()[0] for document in DOCUMENTS for line in named(document)}
    assert seen >= set(VERBS)


def test_what_readme_has_made_is_a_target_and_the_window_comes_right_after_the_two_commands() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    targets = list(dict.fromkeys(MADE.findall(readme)))
    assert targets[:3] == ["demo", "test", "run"]
    # The make that runs these tests would hand its own options down: its jobs, and lines on the folder it is in.
    alone = {name: value for name, value in os.environ.items() if not name.startswith(("MAKE", "MFLAGS"))}
    for target in targets:
        command = ["make", "-n", target]
        made = subprocess.run(command, cwd=ROOT, env=alone, capture_output=True, text=True, check=True, timeout=60)
        assert made.stdout.strip(), target
        if target == "run":
            assert made.stdout.rstrip().endswith("annotator open")
