"""Units and wording, the weekly summary, and who shares the plot."""

from __future__ import annotations

import re
from typing import Any

from rapidfuzz import fuzz, process

from bot.handlers import answers
from bot.handlers.checking import declined
from bot.handlers.context import Context
from bot.handlers.converting import converted
from bot.plot.events import NewEvent
from bot.reply import Choice, Reply, ask
from bot.request import Request
from bot.season.place import gazetteer
from bot.wording import capital, listing

_DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_METRIC = (
    r"\b(?:metric|kilos?|kgs?|kilograms?|grams?|grammes?|celsius|centigrade|centimet(?:re|er)s?|cms?|met(?:re|er)s?|"
    r"lit(?:re|er)s?)\b"
)
_US = (
    r"\b(?:us|u\.s\.|american|imperial|imperail|pounds?|lbs?|ounces?|oz|inch(?:es)?|feet|foot|"
    r"fahrenheit|quarts?|gallons?|"
    r"yards?)\b"
)
_NOT = (
    r"(?:\bnot\b|\bno\b|\bno more\b|\bdon'?t (?:do|use|want|like)\b|\bdo not\b|\binstead of\b|\brather than\b|\bstop\b)"
)
_PUT_RIGHT = re.compile(
    r"^\W*no\b\W*(?:(?<=,)|(?<=, )|(?=(?:please )?(?:go|use|set|put|make|switch|change|back|i want|i'?d)\b))"
)
_STOP = re.compile(
    r"\b(?:stop|no more|quit|pause|turn off|tern off|switch off|cancel|don'?t send|off|unsubscribe|never)\b",
    re.IGNORECASE,
)
_TIME = re.compile(r"\b(\d{1,2})(?:[:.](\d{2}))?\s*(am|pm|a\.m\.|p\.m\.|o'?clock|h)?\b", re.IGNORECASE)
#: Parts of a day -> the hour a summary comes then, and whether a bare hour is in the afternoon.
_PARTS = (
    ("morning", 8, False),
    ("breakfast", 8, False),
    ("midday", 12, False),
    ("noon", 12, False),
    ("lunch", 12, False),
    ("afternoon", 15, True),
    ("evening", 18, True),
    ("night", 20, True),
    ("tea time", 17, True),
    ("teatime", 17, True),
)


@answers("set_units")
def set_units(request: Request, ctx: Context) -> Reply:
    """Set metric or US units, or British or American words."""
    text = request.text.lower()
    units, words = units_said(text), wording_said(text, ctx)
    asked = converted(text, units, ctx) if units else None
    if asked is not None:
        return asked
    data: dict[str, Any] = {}
    if units:
        data["units"] = units
    # Pounds and inches are used in Britain too: the names go with the place.
    place = ctx.plot.settings.place
    if units == "us" and not ctx.say.us and words is None and place and gazetteer(ctx.facts.root).american(place.lat, place.lon):
        words = "us"
    if words:
        data["wording"] = words
    if not data:
        asked_now = re.search(r"\b(?:what|which)\b", text)
        return ask(
            f"{capital(_now_said(ctx))}." if asked_now else "Metric or US units?",
            [
                ("Metric", "use metric"),
                ("US", "use US units"),
                ("British words", "use British words"),
                ("American words", "use American words"),
            ],
            waiting=request,
            wants="choice",
            lines=() if asked_now else (f"Now: {_now_said(ctx)}.",),
        )
    if all(getattr(ctx.plot.settings, key) == value for key, value in data.items()):
        return Reply(f"That is how it is set already: {_now_said(ctx)}.")
    event = NewEvent("plot_set", ctx.today, words=request.text, data=data)
    parts = []
    if units:
        parts.append("kilos, centimetres and °C" if units == "metric" else "pounds, inches and °F")
    if words:
        parts.append("British words" if words == "gb" else "American words")
    return Reply(
        f"From now on: {', in '.join(parts)}.", events=(event,), choices=(Choice("Undo", "undo"),), data={"set_units": data}
    )


def _now_said(ctx: Context) -> str:
    settings = ctx.plot.settings
    units = "metric" if settings.units == "metric" else "US units"
    return f"{units}, {'British' if settings.wording == 'gb' else 'American'} words"


def units_said(text: str) -> str | None:
    """Return metric or us, whichever a message asks for; a unit it does not want asks for the other."""
    # "no, go back to metric" puts right what was set before; its "no" does not mean metric.
    text = _PUT_RIGHT.sub("", text)
    wanted = re.split(_NOT, text)[0] if not re.match(rf"^\W*(?:i\s+)?{_NOT}", text) else ""
    for pattern, units in ((_METRIC, "metric"), (_US, "us")):
        if re.search(pattern, wanted) and "words" not in wanted and "spelling" not in wanted:
            return units
    if "words" in wanted or "spelling" in wanted:
        if re.search(r"\bmetric\b", wanted):
            return "metric"
        return "us" if re.search(r"\bus units\b|\bamerican units\b", wanted) else None
    if re.search(_NOT, text):
        if re.search(_METRIC, text) and not re.search(_US, text):
            return "us"
        if re.search(_US, text) and not re.search(_METRIC, text):
            return "metric"
    return None


def wording_said(text: str, ctx: Context) -> str | None:
    """Return gb or us, as words are asked for: by name, or by one crop name that only one of them uses."""
    wanted = re.split(_NOT, text)[0]
    if re.search(r"\b(?:british|english|uk)\b", wanted):
        return "gb"
    if re.search(r"\b(?:american|us)\b", wanted) and re.search(r"\b(?:words?|names?|spelling|english)\b", text):
        return "us"
    for crop in ctx.facts.crops.values():
        gb, us = crop.said("gb").lower(), crop.said("us").lower()
        if gb == us:
            continue
        if re.search(rf"\b{re.escape(us)}(?:e?s)?\b", wanted):
            return "us"
        if re.search(rf"\b{re.escape(gb)}(?:e?s)?\b", wanted):
            return "gb"
    return None


@answers("set_summary")
def set_summary(request: Request, ctx: Context) -> Reply:
    """Set the day and time of the weekly summary, stop it or start it again."""
    text, now = request.text.lower(), ctx.plot.settings
    day, time = day_said(text), time_said(text)
    if "stop" in request.flags or (_STOP.search(text) and day is None and time is None):
        if now.summary_day is None:
            return Reply("The weekly summary is stopped already.")
        event = NewEvent("plot_set", ctx.today, words=request.text, data={"summary_day": None})
        return Reply(
            "No more weekly summaries.",
            events=(event,),
            choices=(Choice("Start them again", "start the weekly summary again"),),
            data={"set_summary": {"day": None}},
        )
    if day is None and request.when is not None and request.when.single and request.when.start > ctx.today:
        day = request.when.start.weekday()
    chosen = day if day is not None else now.summary_day if now.summary_day is not None else _day_before(ctx)
    at = time or now.summary_time
    starting = now.summary_day is None or re.search(r"\b(?:start|resume|again|turn on|switch on|send)\b", text)
    if day is None and time is None and not starting:
        return ask(
            "Which day and what time?",
            [
                ("Saturday 8:00", "weekly summary on Saturday at 8:00"),
                ("Sunday 18:00", "weekly summary on Sunday at 18:00"),
                ("Stop it", "stop the weekly summary"),
            ],
            waiting=request,
            wants="when",
            lines=(_summary_now(ctx),),
        )
    if (chosen, at) == (now.summary_day, now.summary_time):
        return Reply(f"That is when it comes already: {_DAYS[chosen].capitalize()} at {at}.")
    event = NewEvent("plot_set", ctx.today, words=request.text, data={"summary_day": chosen, "summary_time": at})
    place = "" if now.place else " UTC, until I know where your plot is"
    return Reply(
        f"The weekly summary comes on {_DAYS[chosen].capitalize()} at {at}{place}.",
        events=(event,),
        choices=(Choice("Summary now", "weekly summary"), Choice("Undo", "undo")),
        data={"set_summary": {"day": chosen, "time": at}},
    )


def _day_before(ctx: Context) -> int:
    """Return the day the summary came on before it was stopped, else Saturday."""
    days = [e.data["summary_day"] for e in ctx.plot.events("plot_set") if e.data.get("summary_day") is not None]
    return int(days[-1]) if days else 5


def _summary_now(ctx: Context) -> str:
    day = ctx.plot.settings.summary_day
    return (
        "It is stopped now." if day is None else f"Now: {_DAYS[day].capitalize()} at {ctx.plot.settings.summary_time}."
    )


def day_said(text: str) -> int | None:
    """Return the weekday a message names, Monday 0, or None.

    >>> day_said("on sundays please"), day_said("weds")
    (6, 2)
    """
    for n, day in enumerate(_DAYS):
        if re.search(rf"\b{day[:3]}(?:s|{day[3:]}s?|rs|r|nes)?\b", text):
            return n
    for word in re.findall(r"[a-z]{6,}", text):
        found = process.extractOne(word, _DAYS, scorer=fuzz.ratio, score_cutoff=82)
        if found:
            return int(found[2])
    return None


def time_said(text: str) -> str | None:
    """Return the time a message names as HH:MM, or None.

    >>> [time_said(text) for text in ("at 7 in the morning", "18:30 wednesdays", "friday evening", "at 7 pm")]
    ['07:00', '18:30', '18:00', '19:00']
    """
    part = next((p for p in _PARTS if p[0] in text), None)
    for found in _TIME.finditer(text):
        hour, minute, mark = int(found.group(1)), int(found.group(2) or 0), (found.group(3) or "").lower()
        lead = text[: found.start()].rstrip().endswith((" at", "at", "to", "for", "around", "about"))
        if not (mark or found.group(2) or lead or part) or hour > 24 or minute > 59:
            continue
        if mark.startswith("p") and hour < 12 or (not mark and part and part[2] and hour < 12):
            hour += 12
        if mark.startswith("a") and hour == 12:
            hour = 0
        return f"{hour % 24:02d}:{minute:02d}"
    return f"{part[1]:02d}:00" if part else None


_REMOVE = re.compile(
    r"\b(?:remove|kick(?:ed)? out|take .+? off|off the plot|throw out|uninvite|no longer)\b", re.IGNORECASE
)
_WHO = re.compile(r"\bwho\b", re.IGNORECASE)


@answers("share_plot")
def share_plot(request: Request, ctx: Context) -> Reply:
    """Make an invitation, take a person off the plot, or say who shares it."""
    names: dict[str, str] = {person: ctx.plot.extra.get("names", {}).get(person, person) for person in ctx.plot.people}
    text = request.text
    no = declined(request, ctx, "All right, nobody is taken off.")
    if no:
        return no
    if _REMOVE.search(text):
        return _remove(text, request, names, ctx)
    if _WHO.search(text):
        others = [name for person, name in names.items() if person != ctx.author]
        head = f"You share this plot with {listing(others)}." if others else "Only you use this plot."
        return Reply(
            head,
            choices=(Choice("Invite someone", "give me an invite code"),),
            data={"share_plot": {"people": list(names)}},
        )
    return Reply(
        "Here is an invitation to this plot.",
        lines=("It works once, for seven days. Whoever uses it sees the whole record and can write in it.",),
        effects=("invite",),
        choices=(Choice("Who shares it", "who shares this plot"),),
        data={"share_plot": {"invite": True}},
    )


def _remove(text: str, request: Request, names: dict[str, str], ctx: Context) -> Reply:
    others = {person: name for person, name in names.items() if person != ctx.author}
    if not others:
        return Reply("Only you use this plot, so there is nobody to take off.")
    lowered = text.lower()
    named = [person for person, name in others.items() if re.search(rf"\b{re.escape(name.lower())}\b", lowered)]
    if len(named) != 1:
        return ask(
            "Whom shall I take off the plot?",
            [(name, f"remove {name} from the plot") for name in others.values()][:6],
            waiting=request,
            wants="person",
        )
    person, name = named[0], others[named[0]]
    if "yes" not in request.flags:
        return ask(
            f"Take {name} off this plot?",
            [("Yes", "yes"), ("No", "no")],
            waiting=request,
            wants="choice",
            lines=("What they wrote stays in the record.",),
        )
    event = NewEvent("person_removed", ctx.today, words=name, data={"person": person})
    return Reply(f"{name} is off the plot.", events=(event,), data={"share_plot": {"removed": person}})
