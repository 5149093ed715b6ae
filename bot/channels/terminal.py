"""Talk in the terminal: history, completion of crop and bed names, numbered choices."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from bot.reply import Reply, table_lines

if TYPE_CHECKING:
    from rich.console import Console

    from bot.conversation import Turn

GOODBYES = {"quit", "exit", "bye", "q", ":q"}


def render(reply: Reply, console: Console, first_choice: int = 1) -> int:
    """Print one reply; return the number the next reply's first choice gets."""
    from rich.text import Text

    console.print(Text(reply.headline, style="bold"))
    for line in reply.lines:
        console.print(Text(line))
    if reply.table:
        for line in table_lines(reply.table):
            console.print(Text(line))
    for caution in reply.cautions:
        console.print(Text(f"Caution: {caution}", style="bold yellow"))
    if reply.picture:
        console.print(Text(f"Picture: {reply.picture}"))
    for path in reply.files:
        console.print(Text(f"File: {path}"))
    if reply.more:
        console.print(Text('Say "more" for the rest.', style="dim"))
    for number, choice in enumerate(reply.choices, first_choice):
        console.print(Text(f"  {number}  {choice.label}", style="cyan"))
    return first_choice + len(reply.choices)


def render_turn(turn: Turn, console: Console) -> None:
    """Print every reply of a turn, choices numbered through."""
    number = 1
    for i, reply in enumerate(turn.replies):
        if i:
            console.print()
        number = render(reply, console, number)


def talk(answer: Callable[[str], Turn], words: Iterable[str], *, history: Path | None,
         rung: Callable[[], list[str]] = list) -> None:
    """Run the chat until the gardener leaves.

    `answer` takes one message; `words` are offered as completions; `history` keeps past messages (None: not kept);
    `rung` returns lines of kitchen timers that have come due. Plain input() is used when either end is not a terminal.
    """
    from rich.console import Console

    console = Console(highlight=False, soft_wrap=True)
    interactive = sys.stdin.isatty() and sys.stdout.isatty()
    read = _prompt(words, history, rung, console) if interactive else _plain
    if interactive:
        console.print('Ask away, or tell me what you did. "help" shows what I can do; "bye" ends.\n', style="dim")
    while True:
        try:
            text = read()
        except (EOFError, KeyboardInterrupt):
            return
        for line in rung():
            console.print(line, style="bold magenta", markup=False)
        if text.strip().lower() in GOODBYES:
            return
        if not text.strip() and interactive:
            continue
        render_turn(answer(text), console)
        console.print()


def _plain() -> str:
    line = sys.stdin.readline()
    if not line:
        raise EOFError
    return line.rstrip("\n")


def _prompt(words: Iterable[str], history: Path | None, rung: Callable[[], list[str]],
            console: Console) -> Callable[[], str]:
    import threading

    from prompt_toolkit import PromptSession
    from prompt_toolkit.auto_suggest import AutoSuggestFromHistory
    from prompt_toolkit.completion import WordCompleter
    from prompt_toolkit.history import FileHistory, InMemoryHistory
    from prompt_toolkit.patch_stdout import patch_stdout

    if history is not None:
        history.parent.mkdir(parents=True, exist_ok=True)
    session: PromptSession[str] = PromptSession(
        history=FileHistory(str(history)) if history else InMemoryHistory(),
        completer=WordCompleter(sorted(set(words)), ignore_case=True, sentence=False, match_middle=False),
        complete_while_typing=False,
        auto_suggest=AutoSuggestFromHistory(),
    )
    stop = threading.Event()

    def watch() -> None:
        # A kitchen timer must ring while the prompt waits for typing.
        while not stop.wait(1.0):
            for line in rung():
                print(f"\a{line}")

    threading.Thread(target=watch, daemon=True).start()

    def read() -> str:
        with patch_stdout():
            return session.prompt("> ")

    return read
