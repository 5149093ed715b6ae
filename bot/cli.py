"""The command line: options in, one assembled Bot out, its answers printed. Nothing but wiring.

Exit status 0 when answered, 2 for arguments or files that cannot be used, with one line saying what is wrong.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

if TYPE_CHECKING:
    from bot.app import Bot

app = typer.Typer(no_args_is_help=True, add_completion=False, pretty_exceptions_enable=False,
                  rich_markup_mode=None, help="Riddle: answers for a working kitchen garden.")
knowledge_app = typer.Typer(no_args_is_help=True, rich_markup_mode=None, help="Check and read the knowledge base.")
app.add_typer(knowledge_app, name="knowledge")

Config = Annotated[Path | None, typer.Option("--config", metavar="DIR", help="Settings folder (default: your own).")]
Demo = Annotated[bool, typer.Option("--demo", help="Use the invented demo plot, on a throw-away copy.")]
Today = Annotated[str | None, typer.Option("--today", metavar="YYYY-MM-DD", help="Pretend it is this day.")]
At = Annotated[str | None, typer.Option("--at", metavar="LAT,LON[,ELEV]", help="Pretend the plot is here.")]
Units = Annotated[str | None, typer.Option("--units", metavar="metric|us", help="Say figures in these units.")]
Json = Annotated[bool, typer.Option("--json", help="Print one JSON object per turn.")]


@app.command()
def chat(config: Config = None, demo: Demo = False, today: Today = None, at: At = None, units: Units = None) -> None:
    """Talk in the terminal."""
    from bot.channels.terminal import talk

    with _bot(config, demo, today, at, units) as bot:
        talk(lambda text: bot.turn(text), bot.completions(), history=None if demo else bot.history_file,
             rung=bot.rung_timers)


@app.command()
def ask(
    texts: Annotated[list[str] | None, typer.Argument(metavar="TEXT...", help="Each TEXT is a turn.")] = None,
    batch: Annotated[Path | None, typer.Option("--batch", metavar="FILE",
                                               help="One conversation a line; turns split by ' ||| '.")] = None,
    explain: Annotated[bool, typer.Option("--explain", help="Show how each message was understood.")] = False,
    as_json: Json = False, config: Config = None, demo: Demo = False, today: Today = None, at: At = None,
    units: Units = None,
) -> None:
    """Answer messages and leave. Each TEXT is a turn of one conversation."""
    conversations = _conversations(texts, batch)
    with _bot(config, demo, today, at, units) as bot:
        for number, turns in enumerate(conversations, 1):
            person = f"{bot.person}#{number}" if batch else bot.person
            if batch:
                bot.begin_conversation(person)
            for position, text in enumerate(turns, 1):
                turn = bot.turn(text, person=person)
                if as_json:
                    print(json.dumps(turn.as_json(number, position), ensure_ascii=False))
                    continue
                if len(turns) > 1 or batch:
                    print(f"> {text}")
                if explain:
                    print("\n".join(f"  | {line}" for line in turn.explain))
                _print_turn(turn)
                if position < len(turns) or number < len(conversations):
                    print()


def _print_turn(turn: object) -> None:
    from rich.console import Console

    from bot.channels.terminal import render_turn
    from bot.conversation import Turn

    assert isinstance(turn, Turn)
    render_turn(turn, Console(highlight=False, soft_wrap=True))


def _conversations(texts: list[str] | None, batch: Path | None) -> list[list[str]]:
    if batch is None:
        if not texts:
            _stop("ask: nothing to ask. Give a message in quotes, or --batch FILE.")
        return [texts]
    if texts:
        _stop("ask: give messages or --batch FILE, not both.")
    try:
        lines = batch.read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError) as error:
        _stop(f"{batch}: cannot be read: {getattr(error, 'strerror', None) or error}")
    return [line.split(" ||| ") for line in lines if line.strip()]


@app.command()
def summary(as_json: Json = False, config: Config = None, demo: Demo = False, today: Today = None, at: At = None,
            units: Units = None) -> None:
    """Print this week's summary for the plot."""
    with _bot(config, demo, today, at, units) as bot:
        turn = bot.summary()
        if as_json:
            print(json.dumps(turn.as_json(1, 1), ensure_ascii=False))
        else:
            _print_turn(turn)


@app.command()
def telegram(
    config: Config = None,
    force: Annotated[bool, typer.Option("--force", help="Remove a webhook set for this token.")] = False,
) -> None:
    """Run on Telegram (token from RIDDLE_TELEGRAM_TOKEN)."""
    from bot.app import open_bot
    from bot.channels.telegram.service import CannotRun, run

    try:
        with _errors(), open_bot(config=config) as bot:
            run(bot, force=force)
    except CannotRun as error:
        _stop(str(error))


@app.command(name="export")
def export_(
    target: Annotated[Path, typer.Argument(metavar="FOLDER", help="Where the files go.")] = Path("riddle-export"),
    config: Config = None, demo: Demo = False, today: Today = None,
) -> None:
    """Write the whole record: JSON (everything) and CSV (journal, harvests, stores)."""
    with _bot(config, demo, today, None, None) as bot:
        for path in bot.export(target):
            print(path)


@app.command(name="import")
def import_(
    source: Annotated[Path, typer.Argument(metavar="FILE", help="A record written by export.")],
    config: Config = None, demo: Demo = False,
) -> None:
    """Read a record written by export into this plot. The plot must be empty."""
    with _bot(config, demo, None, None, None) as bot:
        count = bot.import_record(source)
        print(f"{count} records read from {source.name}.")


@knowledge_app.command("check")
def knowledge_check(
    root: Annotated[Path | None, typer.Option("--root", metavar="DIR", help="A knowledge folder to check.")] = None,
    report: Annotated[bool, typer.Option("--report", help="Print the share of figures read, by block.")] = False,
) -> None:
    """Check every file of the knowledge base."""
    from bot.facts.commands import check_command

    text, status = check_command(root, report=report)
    print(text)
    raise typer.Exit(status)


@knowledge_app.command("show")
def knowledge_show(name: Annotated[str, typer.Argument(metavar="ID")]) -> None:
    """Print what is known under an id, with its sources."""
    from bot.facts import Facts
    from bot.facts.commands import show_text

    with _errors():
        text = show_text(Facts(), name)
    if text is None:
        _stop(f"knowledge show: nothing is known under {name!r}.")
    print(text)


@knowledge_app.command("schema")
def knowledge_schema(folder: Annotated[Path, typer.Argument(metavar="DIR")]) -> None:
    """Write JSON Schemas of the knowledge files, for editors."""
    from bot.facts.commands import export_schema

    for path in export_schema(folder):
        print(path)


@contextmanager
def _bot(config: Path | None, demo: bool, today: str | None, at: str | None, units: str | None) -> Iterator[Bot]:
    from bot.app import open_bot

    if units not in (None, "metric", "us"):
        _stop(f"--units: {units!r} is neither metric nor us.")
    with _errors(), open_bot(config=config, demo=demo, today=_day(today), at=_place(at), units=units) as bot:
        yield bot


@contextmanager
def _errors() -> Iterator[None]:
    """Turn errors that name a file or setting into their one line and exit status 2."""
    from bot.app import USER_ERRORS

    try:
        yield
    except USER_ERRORS as error:
        _stop(str(error))


def _day(text: str | None) -> date | None:
    if text is None:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        _stop(f"--today: {text!r} is not a date. Write it as 2026-06-17.")


def _place(text: str | None) -> tuple[float, float, float | None] | None:
    if text is None:
        return None
    try:
        parts = [float(part) for part in text.split(",")]
    except ValueError:
        parts = []
    if len(parts) not in (2, 3) or not (-90 <= parts[0] <= 90 and -180 <= parts[1] <= 180):
        _stop(f"--at: {text!r} is not a place. Write latitude,longitude or latitude,longitude,metres: 45.05,3.9,880.")
    if len(parts) == 3 and not -430 <= parts[2] <= 5000:
        _stop(f"--at: a plot cannot lie at {parts[2]:g} m. Give the height in metres.")
    return parts[0], parts[1], parts[2] if len(parts) == 3 else None


def _stop(line: str) -> NoReturn:
    print(line, file=sys.stderr)
    raise SystemExit(2)


def main() -> None:
    """Run the command line."""
    app()
