"""Starting and stopping a kitchen timer by message; channels ring it (bot.preserving.timers)."""

from __future__ import annotations

from bot.handlers.context import Context
from bot.preserving.altitude import height_of
from bot.preserving.blanching import form_of, rows_of, times
from bot.preserving.timers import LONGEST_S, rung_event, running, seconds_in, set_event
from bot.reply import Choice, Reply
from bot.request import Request


def start_timer(request: Request, ctx: Context, text: str) -> Reply:
    """Start a timer of the minutes named, of the crop's blanching time, or of the last answer's."""
    name = ctx.say.crop(request.crop) if request.crop else ""
    seconds = seconds_in(text)
    if seconds is None:
        last = ctx.memory.reply.data.get("blanch") or {} if ctx.memory.reply else {}
        forms = last.get("forms") or []
        if request.crop:
            rows = form_of(rows_of(request.crop, ctx.facts.preserving), text)
            forms = [t.as_json() for t in times(rows, height_of(request, ctx.plot))] or forms
        minutes = (forms[0].get("water_min") or forms[0].get("steam_min")) if forms else None
        if isinstance(minutes, list):
            minutes = minutes[0]
        seconds = round(minutes * 60) if minutes else None
        if not name and last.get("crop"):
            name = ctx.say.crop(last["crop"])
    if seconds is None:
        return Reply(
            headline="How many minutes shall I time?",
            choices=(Choice("3 minutes", "start a 3 minute timer"),),
            waiting=request,
            wants="quantity",
        )
    if seconds > LONGEST_S:
        return Reply(
            headline="A timer runs for a day at most. How long shall it be?", waiting=request, wants="quantity"
        )
    said = f"{seconds} seconds" if seconds < 60 else f"{seconds / 60:g} minute{'s' if seconds != 60 else ''}"
    label = f"{name}, {said}" if name else said
    return Reply(
        headline=f"Timing {said}{f' for {name}' if name else ''}. I will call when it is up.",
        lines=("Count from when the water boils again.",),
        events=(set_event(ctx.now, seconds, label, request.text, request.crop),),
        choices=(Choice("Stop the timer", "stop the timer"),),
    )


def stop_timer(ctx: Context) -> Reply:
    """Stop the timer set last, or say that none runs."""
    live = running(ctx.plot)
    if not live:
        return Reply(headline="No timer is running.")
    return Reply(headline=f"Stopped: {live[-1].label}.", events=(rung_event(live[-1], ctx.now, "stopped"),))
