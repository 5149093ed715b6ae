"""The documents are true: commands exist, transcripts are what the bot says, CI runs what the README says."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
import typer

from bot import cli
from bot.channels.telegram import service
from bot.facts import Facts
from bot.settings import Settings

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
COMMANDS = typer.main.get_command(cli.app)


def transcripts() -> list[tuple[list[str], str]]:
    """Return (arguments, output) of each `$ riddle …` block of the README."""
    found = []
    for block in re.findall(r"```text\n\$ riddle (.*?)\n```", README, re.DOTALL):
        command, _, output = block.partition("\n")
        found.append((shlex.split(command), output.strip("\n")))
    return found


@pytest.mark.parametrize(("arguments", "output"), transcripts(), ids=lambda value: " ".join(value)[:60])
def test_the_readmes_transcripts_are_real(arguments: list[str], output: str,
                                          capsys: pytest.CaptureFixture[str]) -> None:
    cli.app(arguments, standalone_mode=False)
    assert capsys.readouterr().out.strip("\n") == output


def test_the_readme_shows_transcripts() -> None:
    assert len(transcripts()) >= 5


def test_ci_runs_exactly_the_readmes_test_command() -> None:
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    command = next(line for line in script.splitlines() if "pytest" in line)
    assert command in README


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_every_command_and_option_named_exists(text: str) -> None:
    for match in re.finditer(r"\briddle ((?:knowledge )?[a-z]+)([^`\n]*)", text):
        name, rest = match.group(1).split(), match.group(2)
        command = COMMANDS
        for part in name:
            commands = getattr(command, "commands", {})
            if part not in commands:
                break
            command = commands[part]
        if command is COMMANDS:
            continue
        known = {option for parameter in command.params for option in parameter.opts}
        for option in re.findall(r"(?<![\w-])--[a-z]+", rest.split("#")[0]):
            assert option in known | {"--help"}, f"{match.group(0)!r}: {option} is no option of riddle {' '.join(name)}"


def test_every_command_is_in_the_readme() -> None:
    for name in COMMANDS.commands:  # type: ignore[attr-defined]
        assert f"riddle {name}" in README, name
    for name in ("RIDDLE_TELEGRAM_TOKEN", "RIDDLE_TELEGRAM_API", "RIDDLE_DATABASE"):
        assert name in README
    assert service.TOKEN in README


def test_every_setting_is_in_the_readme() -> None:
    for name in Settings.model_fields:
        if name != "folder":
            assert f"{name}:" in README, name


def test_paths_named_in_the_documents_exist() -> None:
    for text in (README, DEVELOPERS):
        for path in re.findall(r"`((?:bot|knowledge|tests|demo_config)/[\w./-]+)`", text):
            assert (ROOT / path).exists(), path


def test_trade_words_of_the_answers_are_in_the_glossary(facts: Facts) -> None:
    text = {word.lower() for term in facts.glossary.terms for word in (term.term, *term.words)}
    for word in ("blanch", "bolting", "chitting", "hardening off", "hungry gap", "station sowing"):
        assert any(word in known for known in text), word
