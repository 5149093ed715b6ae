"""Hand over the whole record, or erase it."""

from __future__ import annotations

import re

from bot.handlers import answers
from bot.handlers.checking import asked_before
from bot.handlers.context import Context
from bot.handlers.undoing import names_a_record, undo
from bot.reply import Reply, ask
from bot.request import Request
from bot.wording import plural

_YES = re.compile(r"^\s*yes\b", re.IGNORECASE)


@answers("export_data")
def export_data(request: Request, ctx: Context) -> Reply:
    """Hand over the record: everything as JSON, tables as CSV, the diary as a calendar."""
    records = len(ctx.plot.journal)
    if not records:
        return Reply("There are no records yet, so there is nothing to hand over.")
    return Reply(
        f"Here is your whole record: {plural(records, 'entry') if records == 1 else f'{records:,} entries'}.",
        lines=(
            "record.json holds everything and can be read back in.",
            "journal.csv, harvests.csv and stores.csv open in a spreadsheet; diary.ics opens in a calendar.",
            'At a computer "riddle export" writes the same files to a folder.',
        ),
        effects=("export",),
        data={"export_data": {"entries": records}},
    )


@answers("delete_data")
def delete_data(request: Request, ctx: Context) -> Reply:
    """Erase the whole record of the plot, once it was asked and answered with yes."""
    if names_a_record(request, ctx) and not asked_before(ctx, "delete_data"):
        return undo(request.with_(intent="undo"), ctx)  # "delete the beetroot": one record, not the book
    if asked_before(ctx, "delete_data") and ("yes" in request.flags or _YES.match(request.text)):
        return Reply(
            "Everything is erased: the record, the people, the messages.",
            lines=("A new message begins an empty plot.",),
            effects=("erase",),
            data={"delete_data": {"erased": True}},
        )
    if "no" in request.flags:
        return Reply("Nothing is erased.")
    records = len(ctx.plot.journal)
    others = [person for person in ctx.plot.people if person != ctx.author]
    shared = " It is gone for everyone who shares the plot." if others else ""
    count = "The 1 entry" if records == 1 else f"All {records:,} entries"
    return ask(
        "Erase the whole record of this plot?",
        [
            ("Yes, erase everything", "yes, erase everything"),
            ("No, keep it", "no"),
            ("Give me a copy first", "export my data"),
        ],
        waiting=request,
        wants="choice",
        lines=(f"{count} would be gone for good; this cannot be undone.{shared}",),
    )
