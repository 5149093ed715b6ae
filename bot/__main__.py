"""Run the command line with `python -m bot`."""

from bot.cli import main

main()
