"""What is wrong with this plant: the likely cause, what to do, and one question that tells look-alikes apart."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from bot.facts.tending import OnCrop, Pest
from bot.growing.curves import curves
from bot.handlers import answers, handler_for
from bot.handlers.context import Context
from bot.handlers.harvests_due import ripens_so
from bot.handlers.weeds import weed_or_remedy
from bot.plot.state import PlotPlace
from bot.preserving.matching import find, plain
from bot.reply import Choice, Reply
from bot.request import Request
from bot.tending.diagnosis import Cause, Clinic, clinic, host_odds, months_off, region_of, season_of
from bot.tending.sightings import last_sighting, sightings
from bot.tending.units import in_units
from bot.wording import capital, listing, small

SURE, FAIR = 0.8, 0.5  # share of belief to say "most likely", and "probably"
NAMEABLE = 0.15  # share of belief below which nothing is named; a thin description needs FAIR
WORTH_NAMING = 0.05  # share of belief to be named where too little was said
WORTH_ASKING = 0.1  # share of belief a rival needs to be asked about
QUESTIONS = 2
_BOTTLE = re.compile(r"\bsoap made|plant soap|Bacillus|\boil\b|by the label|by its label|leaf spray")


@dataclass(frozen=True)
class Case:
    """One request made ready: the words, the crops it may be, the season and the part of the world."""

    text: str
    crops: tuple[str, ...]
    season: str
    region: str | None
    named: Pest | None
    before: frozenset[str]


@answers("pest")
def pest(request: Request, ctx: Context) -> Reply:
    """Name the likely cause of what was described, or answer about a trouble by name."""
    if ctx.facts.asking.records.pests.match(request.text):
        return handler_for("history")(request.with_(intent="history", crops=(), crop_choices=(), pest=None), ctx)
    known = weed_or_remedy(request, ctx)
    if known is not None:
        return known
    if ripens_so(request, ctx):
        return handler_for("when_harvest")(request.with_(intent="when_harvest"), ctx)
    ward = clinic(ctx.facts.tending)
    case = case_of(request, ctx)
    if case.named and ctx.facts.asking.ground.looks.search(case.text) and ward.only_named(case.text, case.named, ("know", "tell", "spot", "sign", "symptom", "recognise", "look like")):
        return known_by(case.named, case, ctx)
    if case.named and ward.only_named(case.text, case.named) and lives_here(ward, case):
        return about(case.named, ctx, case)
    causes = ward.rank(case.text, case.crops, season=case.season, region=case.region,
                       hint=case.named.id if case.named else None, before=case.before)
    likeliest = ctx.facts.tending.pest(causes[0].id)
    elsewhere = likeliest is not None and bool(case.crops) and host_odds(ward.hosts_of(likeliest.id), likeliest, case.crops) < 0
    if elsewhere or causes[0].score < (FAIR if ward.thin(case.text) else NAMEABLE):
        return _ask_for_signs(request, ctx, case, causes)
    return _answer(ctx, ward, case, causes)


def case_of(request: Request, ctx: Context) -> Case:
    """Gather what a request and the plot say. A bed named without a crop stands for what grows in it."""
    crops = request.crops or request.crop_choices
    if not crops:
        crops = tuple(dict.fromkeys(p.crop for bed in request.beds for p in ctx.plot.standing(bed=bed)))
    text = _without_bed_names(request, ctx)
    standing = [p for crop in crops for p in ctx.plot.standing(crop=crop)]
    if standing and all(p.in_ground is None for p in standing):
        text += ", seedlings"  # all there are still stand in their trays
    if any(b in ctx.plot.beds and ctx.facts.climate.rainproof(ctx.plot.beds[b].cover) for b in request.beds):
        text += ", in the greenhouse"
    place = ctx.plot.settings.place
    region = region_of(place.lat, place.lon) if place else None
    # What tells of a crop of its own, and points to nothing before it, is no more of the pest talked of then.
    own = bool(request.crop_choices) or bool(request.crops) and "crops" not in request.inherited
    anew = "pest" in request.inherited and own and not ctx.facts.asking.talk.onward.search(text)
    named = ctx.facts.tending.pest(request.pest) if request.pest and not anew else _by_name(text, region, ctx)
    if named and "crops" in request.inherited and not set(crops) & clinic(ctx.facts.tending).hosts_of(named.id):
        crops = ()  # "what is codling moth" after a talk of garlic
    return Case(text, crops, _season(ctx, place), region,
                _kin(named, crops, text, ctx) if named else None,
                frozenset(s.pest for s in sightings(ctx.plot)))


def _without_bed_names(request: Request, ctx: Context) -> str:
    """Return the words of a request without the beds it names: "in the tunnel" tells of no tunnels in a root."""
    names = [name for bed in request.beds if bed in ctx.plot.beds for name in (ctx.plot.beds[bed].name, *ctx.plot.beds[bed].nicknames)]
    if not names:
        return request.text
    return re.sub(rf"\b(?:(?:in|from|of|on) )?(?:(?:the|my|our) )?(?:{'|'.join(map(re.escape, names))})\b", " ", request.text, flags=re.I)


def _by_name(text: str, region: str | None, ctx: Context) -> Pest | None:
    """Return the trouble of this part of the world that a message calls by its full name, the longest name first."""
    flat = plain(text)
    here = [p for p in ctx.facts.tending.pests if p.other_names and (not p.regions or region in p.regions)]
    found = [(said, p) for p in here if (said := find(flat, [n.lower() for n in (p.gb, p.us, *p.other_names)]))]
    return max(found, key=lambda pair: len(pair[0]), default=(None, None))[1]


def _kin(named: Pest, crops: Sequence[str], text: str, ctx: Context) -> Pest:
    """Return the trouble a short name ("mildew", "rust") means on these crops: the one so named that lives on them."""
    ward, grown = clinic(ctx.facts.tending), set(crops)
    if not grown or grown & ward.hosts_of(named.id) or named.gb.lower() in text.lower():
        return named
    last = named.gb.split()[-1]
    kin = [p for p in ctx.facts.tending.pests if p.gb.split()[-1] == last and grown & ward.hosts_of(p.id)]
    return max(kin, key=lambda p: p.common, default=named)


def about(trouble: Pest, ctx: Context, case: Case) -> Reply:
    """Answer about one trouble by name: how to know it and what to do."""
    name = trouble.said(ctx.say.words, ctx.say.country)
    steps, after = [*_eaten(trouble, ctx, case), *_steps(trouble, ctx, case)], _after(trouble, ctx, case)
    known, ahead = f"You know it by: {_sign(trouble)}.", in_units(trouble.next_year, ctx.say)
    if ctx.facts.asking.ground.prevents.search(case.text):  # before it comes, and not once it is there
        lines = [f"If it is there: {_first_small(steps[0])}", *steps[1:], known, *(line for line in after if not line.startswith("Next year"))]
        headline = f"{capital(name)}: {_first_small(ahead)}"
    elif ctx.facts.asking.records.pest_when.search(case.text):
        first, last = (season.replace("-", " ") for season in (trouble.seasons[0], trouble.seasons[-1]))
        lines, headline = [*steps, known, *after], f"{capital(name)}: about {f'in {first}' if first == last else f'from {first} to {last}'}."
    else:
        lines, headline = [*steps[1:], known, *after], f"{capital(name)}: {_first_small(steps[0])}"
    return _reply(trouble, ctx, case, headline, lines, data=[{"id": trouble.id, "score": 1.0}],
                  more=_apart_lines(trouble, ctx))


def known_by(trouble: Pest, case: Case, ctx: Context) -> Reply:
    """Answer by what one trouble is known: its signs first, then its look-alikes and what to do."""
    signs = "; ".join([sign.words for sign in trouble.signs if sign.telling][:3] or [trouble.signs[0].words])
    lines = [f"{capital(_named(ctx.facts.tending.pest(a.than), ctx))} instead: {in_units(a.look, ctx.say)}." for a in trouble.apart[:3]]
    lines.append(f"If it is: {_first_small(in_units(trouble.now[0], ctx.say))}")
    return _reply(trouble, ctx, case, f"{capital(trouble.said(ctx.say.words))}: {in_units(signs, ctx.say)}.", lines,
                  data=[{"id": trouble.id, "score": 1.0}])


def _answer(ctx: Context, ward: Clinic, case: Case, causes: Sequence[Cause]) -> Reply:
    facts, top = ctx.facts.tending, causes[0]
    trouble = facts.pest(top.id)
    assert trouble is not None  # every cause comes from the table
    rivals = [c for c in causes[1:3] if c.score >= WORTH_ASKING] if top.score < SURE else []
    names = [_named(facts.pest(c.id), ctx) for c in rivals]
    name = _named(trouble, ctx)
    if top.score >= SURE:
        headline = f"Most likely {name}."
    elif top.score >= FAIR or not names:
        doubt = f"though it could be {listing(names, 'or')}" if names else "but I am not sure"
        headline = f"Probably {name}, {doubt}."
    else:
        headline = f"Perhaps {name}; it could also be {listing(names, 'or')}."
    lines = [*_eaten(trouble, ctx, case), f"Check for: {_sign(trouble)}.", *_steps(trouble, ctx, case), *_after(trouble, ctx, case)]
    lines += [f"{capital(_named(facts.pest(c.id), ctx))} would show: {_tell(facts.pest(c.id))}." for c in rivals[:1]]
    choices = _questions(ctx, case, [top, *rivals])
    if choices:
        lines.append("Which is nearer to what you see?")
    working = [f"{capital(_named(facts.pest(c.id), ctx))}: {c.score:.0%}, from {_agreed(c)}." for c in causes[:4]]
    if case.crops:
        plants = listing([ctx.say.crop(c) for c in case.crops[:4]], "or")
        working.append(f"Read for {plants}, {case.season.replace('-', ' ')}.")
    return _reply(trouble, ctx, case, headline, lines, choices=choices, working=working, more=_apart_lines(trouble, ctx),
                  data=[{"id": c.id, "score": round(c.score, 3)} for c in causes[:5]])


def _agreed(cause: Cause) -> str:
    """Say what of the description agreed with a cause."""
    return ", ".join(f.replace("+", " ").replace("-", " ") for f in cause.matched) or "the crop and season alone"


def _eaten(trouble: Pest, ctx: Context, case: Case) -> list[str]:
    """Say whether what it touched may be eaten, where that is asked and known."""
    return [in_units(trouble.eat, ctx.say)] if trouble.eat and ctx.facts.asking.tending.eaten.search(case.text) else []


def _on_crops(trouble: Pest, ctx: Context, case: Case) -> list[OnCrop]:
    """Return what is done on the crops asked about, and then on those that stand here too."""
    return trouble.on_crops([*case.crops, *(p.crop for p in ctx.plot.standing())])


def _steps(trouble: Pest, ctx: Context, case: Case) -> list[str]:
    """Return what to do now: on the crop asked about, and on another that stands here under its name, where it is another thing there."""
    rows, asked = _on_crops(trouble, ctx, case), trouble.on_crops(case.crops)
    first = (asked or rows)[0].now if asked or len(rows) == 1 else trouble.now
    others = [row for row in rows if row.now is not first]
    named = [f"{capital(ctx.say.crop(row.crops[0]))}: {_first_small(' '.join(in_units(line, ctx.say) for line in row.now))}" for row in others]
    return [*(in_units(line, ctx.say) for line in first), *named]


def _after(trouble: Pest, ctx: Context, case: Case) -> list[str]:
    """Return hygiene, whether it still matters, next year, whom to tell, and what the plot remembers."""
    off = months_off(trouble, ctx.today.month, _southern(ctx, ctx.plot.settings.place))
    lines = [f"Clearing up: {_first_small(in_units(trouble.hygiene, ctx.say))}"]
    if ctx.season is not None and curves(ctx.season, None, ctx.facts).sown_all_winter:
        off = min(max(off, 0), 1)  # where crops grow all winter its months hardly bind
    if off >= 0:  # before its season there is no late to speak of
        # Months only roughly follow the weather of a place: one to either side is near enough.
        late = "Out of its usual season now. " if off > 1 else ""
        rows = _on_crops(trouble, ctx, case)
        said = rows[0].late if rows else trouble.late
        lines.append(f"Does it still matter? {late}{in_units(said, ctx.say)}")
    elif off < -1:
        lines.append(f"Early for it: it is usually seen from {trouble.seasons[0].replace('-', ' ')} on.")
    lines.append(f"Next year: {_first_small(in_units(trouble.next_year, ctx.say))}")
    seen = last_sighting(ctx.plot, trouble.id, ctx.today)
    if seen:
        bed = ctx.plot.beds.get(seen.bed) if seen.bed else None
        seen_as = f"{capital(_named(trouble, ctx))} {_was(trouble, ctx)} seen here last"
        lines.append(f"{seen_as} {ctx.say.day(seen.day, ctx.today)}" + (f" ({bed.name})." if bed else "."))
    return lines


def _reply(trouble: Pest, ctx: Context, case: Case, headline: str, lines: Sequence[str], *, data: list[dict[str, object]],
           choices: Sequence[Choice] = (), working: Sequence[str] = (), more: Sequence[str] = ()) -> Reply:
    place = ctx.plot.settings.place
    told = not trouble.notify_in or place is None or region_of(place.lat, place.lon) in trouble.notify_in
    cautions = [trouble.notify] if trouble.notify and told else []
    topics = {trouble.id} | ({"spray"} if any(_BOTTLE.search(line) for line in trouble.now) else set())
    warnings = [c for c in ctx.facts.tending.cautions if topics & set(c.when) and (not c.crops or not case.crops or set(c.crops) & set(case.crops))]
    cautions += [c.say for c in warnings]
    sources = dict.fromkeys([*trouble.source, *(s for c in warnings for s in c.source)])
    shown, rest = _fit(list(lines), 11 - min(2, len(cautions)))
    return Reply(headline, lines=tuple(shown), cautions=tuple(in_units(c, ctx.say) for c in cautions[:2]),
                 more=(*rest, *more), working=tuple(working), sources=tuple(sources), choices=tuple(choices),
                 data={"causes": data})


def _fit(lines: list[str], room: int) -> tuple[list[str], list[str]]:
    """Keep what fits a phone; the question at the end stays."""
    if len(lines) <= room:
        return lines, []
    question = [lines[-1]] if lines[-1].endswith("?") else []
    body = lines[:len(lines) - len(question)]
    return body[:room - len(question)] + question, body[room - len(question):]


def _questions(ctx: Context, case: Case, causes: Sequence[Cause]) -> list[Choice]:
    """Offer the marks that tell the likely causes apart, at most two rounds."""
    facts = ctx.facts.tending
    asked = sum(1 for p in facts.pests if p.tell.lower() in case.text.lower())
    if len(causes) < 2 or asked >= QUESTIONS:
        return []
    told = [p for p in (facts.pest(c.id) for c in causes) if p and p.tell.lower() not in case.text.lower()]
    return [Choice(capital(p.tell), _saying(ctx, case, p)) for p in told]


def _saying(ctx: Context, case: Case, trouble: Pest) -> str:
    """Return the whole message a choice stands for: the plant, what was said, and the mark chosen."""
    plant = ctx.say.crop(case.crops[0]) if len(case.crops) == 1 else "plants"
    said = " ".join(case.text.split())[:160].rstrip(" .,;:?!")
    return f"what is wrong with my {plant}: {', '.join(filter(None, (said, trouble.tell)))}"


def _ask_for_signs(request: Request, ctx: Context, case: Case, causes: Sequence[Cause]) -> Reply:
    """Ask the one question that a thin description needs, with the likeliest troubles of the crop to pick from."""
    stranger = ctx.facts.groups.stranger(request.unknown_crop) if request.unknown_crop and not case.crops else None
    if stranger is not None:
        return Reply(stranger.says, sources=tuple(stranger.source), data={"causes": []})
    ward = clinic(ctx.facts.tending)
    known = [(c, p) for c in causes[:12] if (p := ctx.facts.tending.pest(c.id))] if case.crops else []
    own = [(c, p) for c, p in known if ward.hosts_of(p.id) & set(case.crops)]  # its own troubles before those of any plant
    offered = [p for _, p in (own if len(own) >= 3 else known)[:4]]
    told = ward.tells(case.text)
    shown = [p for c, p in known if told & set(c.matched) and c.score >= WORTH_NAMING][:3]
    plant = ctx.say.crop(case.crops[0]) if len(case.crops) == 1 else ""
    working = ["Too little was said to put a name to it. Likeliest by crop and season: "
               + listing([_named(p, ctx) for p in offered]) + "."] if offered else []
    if shown:
        question = f"Most often {listing([_named(p, ctx) for p in shown], 'or')}{f', on {plant}' if plant else ''}. Which is nearer?"
        lines, offered = [f"{capital(_named(p, ctx))}: {in_units(p.tell, ctx.say)}." for p in shown], shown
    else:
        question = ("Which plant is it, and what do you see on it?" if not case.crops else
                    f"What do you see{f' on the {plant}' if plant else ''}, and where: leaf, stem, root or fruit?")
        lines = ["Holes, spots, mould, wilting, a creature: a few words are enough."]
    return Reply(question, lines=tuple(lines), working=tuple(working),
                 choices=tuple(Choice(capital(p.tell), _saying(ctx, case, p)) for p in offered),
                 waiting=request, wants="choice", data={"causes": []})


def lives_here(ward: Clinic, case: Case) -> bool:
    """Tell whether the trouble named can be on the crops named."""
    return case.named is not None and host_odds(ward.hosts_of(case.named.id), case.named, case.crops) >= 0


def _apart_lines(trouble: Pest, ctx: Context) -> list[str]:
    """Return how its look-alikes differ."""
    facts = ctx.facts.tending
    rows = [(facts.pest(a.than), a.look) for a in trouble.apart]
    lines = [f"{capital(_named(p, ctx))}: {in_units(look, ctx.say)}." for p, look in rows if p]
    if trouble.caution:
        lines.append(f"Mind: {_first_small(in_units(trouble.caution, ctx.say))}")
    if trouble.trigger:
        lines.append(f"It comes with {_first_small(in_units(trouble.trigger, ctx.say))}.")
    return ["What else it might be:", *lines] if lines else []


def _sign(trouble: Pest) -> str:
    telling = [s.words for s in trouble.signs if s.telling] or [trouble.signs[0].words]
    return telling[0] if len(telling) == 1 else f"{telling[0]}; {telling[1]}"


def _tell(trouble: Pest | None) -> str:
    return trouble.tell if trouble else ""


def _named(trouble: Pest | None, ctx: Context) -> str:
    return trouble.said(ctx.say.words, ctx.say.country) if trouble else ""


def _was(trouble: Pest, ctx: Context) -> str:
    """Return was or were, as its name asks."""
    last = trouble.said(ctx.say.words, ctx.say.country).split()[-1]
    return "were" if last.endswith("s") and not last.endswith(("ss", "us", "is")) else "was"


def _southern(ctx: Context, place: PlotPlace | None) -> bool:
    return ctx.season.southern if ctx.season else bool(place and place.lat < 0)


def _season(ctx: Context, place: PlotPlace | None) -> str:
    return season_of(ctx.today.month, _southern(ctx, place))


def _first_small(text: str) -> str:
    """Begin in lower case, unless the first word is a name."""
    first = text.split(" ", 1)[0]
    return text if first in ("Bacillus", "Encarsia", "Epsom", "British", "Nematodes") else small(text)
