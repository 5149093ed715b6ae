"""Will a crop stand a temperature, and will it come through the winter here."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from bot.facts.crop import Crop
from bot.handlers import answers, handler_for
from bot.handlers.blossoming import BLOSSOM, SOURCES, blossom_stands, in_flower, shield
from bot.handlers.cold import LIKELY, SURE, against_frost, cold_of, cover_name, is_many
from bot.handlers.context import Context
from bot.handlers.crop_asking import cited, which_crop
from bot.handlers.winter_standing import left_in_ground, lifted, which_stand
from bot.reply import Reply
from bot.request import Request
from bot.season import Season, day_in_year
from bot.season.covering import middle
from bot.season.winter import winter_of, winter_span
from bot.wording import capital

_BETTER = ("fleece", "cold-frame", "polytunnel", "polytunnel-fleece")
_EVEN, _POOR = 0.4, 0.15
_KINDS_APART_C = 3.0  # kinds of a crop that differ by this much are told apart
_STATES = {"flower": "The flowers", "dormant": "Roots, crowns and resting plants", "head": "Formed heads",
           "seedling": "Seedlings"}
_LIGHT_FROST_C = -2.5  # what is unhurt above this stands a light frost
_WOOD_C = -8.0  # colder than this, the question is about the plant and not its blossom
_A_FROST = re.compile(r"^(?!.*\bwinter).*\b(?:an?|the|light|late|early|ground|night|some|any|touch of) frosts?\b",
                      re.IGNORECASE)
_KILLS = re.compile(
    r"\b(?:will|would|can|does|could|is) (?:the |a |this |that )?(?:frosts?|cold|snow|it|ice|winter|-?\d+\S*)(?: \S+){0,3} "
    r"(?:get|gets|kill|kills|finish|harm|hurt|ruin|nip|take)\b", re.IGNORECASE)
_NEEDS = re.compile(
    r"\b(?:need|have|ought|should|must|worth|necessary|better)\b.{0,30}\b(?:lift|dig|pick|pull|harvest|bring|get|take|cover|fleece|"
    r"protect|mulch|wrap)(?:ing|ed)?\b(?!.{0,20}\b(?:survive|stand)\b)", re.IGNORECASE)
_HOW_COLD = re.compile(r"\W*(?:and )?(?:how|what)\b.{0,12}\b(?:cold|low|temp(?:erature)?)\b", re.IGNORECASE)
_DIES = re.compile(r"\b(?:die|dies|dead|lose|lost|finished)\b", re.IGNORECASE)
_INSIDE = frozenset({"greenhouse", "polytunnel", "polytunnel-fleece", "cold-frame", "heated", "low-tunnel"})
_TENTHS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


@answers("hardy")
def hardy(request: Request, ctx: Context) -> Reply:
    """Tell whether a crop stands a temperature, or the winter here, with the chance and what a cover changes."""
    if not request.crops and not request.crop_choices and not request.unknown_crop and ctx.season is not None:
        if request.temperature_c is not None and ctx.plot.standing():
            return handler_for("frost_tonight")(request, ctx)
        if _WHICH.search(request.text):
            return which_stand(ctx.season, _span(request, ctx), ctx)
    crop = which_crop(request, ctx, "Which crop are you worried about?", "is it hardy:")
    if isinstance(crop, Reply):
        return crop
    if left_in_ground(request) and lifted(crop, ctx):
        return handler_for("store")(request.with_(crops=(crop.id,)), ctx)
    first = _turned(_Answer(crop, request, ctx).reply(), request)
    rest = [_Answer(ctx.facts.crops[c], request, ctx).reply() for c in request.crops[1:4] if c in ctx.facts.crops]
    if not rest:
        return first
    return first.with_(lines=(*first.lines[:3], *(r.headline for r in rest)),
                       sources=tuple(dict.fromkeys(s for r in (first, *rest) for s in r.sources)),
                       working=tuple(dict.fromkeys(w for r in (first, *rest) for w in r.working)),
                       data={"hardy": {**first.data["hardy"], "more": [r.data["hardy"] for r in rest]}})


_WHICH = re.compile(r"\b(?:which|what|wich|any(?:thing)?)\b", re.I)


def _turned(reply: Reply, request: Request) -> Reply:
    """Turn the yes and no of an answer where the question was whether the cold kills, or whether the crop must be seen to.

    "How cold" is answered with neither.
    """
    if _HOW_COLD.match(request.text):
        return reply.with_(headline=capital(reply.headline.removeprefix("No, ").removeprefix("Yes, ")))
    if not (_KILLS.search(request.text) or _NEEDS.search(request.text)):
        return reply
    for was, now in (("No, ", "Yes, "), ("Yes, ", "No, "), ("Seldom: ", "Yes, ")):
        if reply.headline.startswith(was):
            return reply.with_(headline=now + reply.headline.removeprefix(was))
    return reply


class _Answer:
    """One crop's answer being put together."""

    def __init__(self, crop: Crop, request: Request, ctx: Context) -> None:
        self.crop, self.request, self.ctx, self.say = crop, request, ctx, ctx.say
        self.cold = cold_of(crop, ctx.facts)
        self.name = ctx.say.crop(crop.id)
        self.many = is_many(crop, ctx.say.words)
        self.cover = _cover(request, ctx)
        self.span = _span(request, ctx)
        self.lines: list[str] = []

    def reply(self) -> Reply:
        """Return the whole reply."""
        outside = self.request.temperature_c
        if self.cold.blossom and outside is None and in_flower(self.crop, self.request, self.ctx):
            return self._blossom_alone(*self.cold.blossom)
        if not self.cold.known and not self.cold.tender and not (self.cold.blossom and outside is not None):
            return self._unknown()
        chance = self.chance(self.cold.winter_kill_c, self.cover)
        data: dict[str, Any] = {"crop": self.crop.id, "damage_c": self.cold.damage_c, "kill_c": self.cold.kill_c,
                                "chance": None if chance is None else round(chance, 3)}
        if self.cover:
            data["cover"] = self.cover
        if outside is not None:
            head = self._at(outside)
            data["temperature_c"] = outside
        elif _A_FROST.search(self.request.text) and not self.cover:
            head = self._frost()
        elif chance is None or self.ctx.season is None:
            head = self._plainly()
            self.lines.append("Tell me where your plot is and I can say how likely that is.")
        else:
            data["kill_c"] = self.cold.winter_kill_c
            head = self._this_winter(chance, self.ctx.season)
        if not self.cold.known and self.cold.tender:
            self.lines.append("I have no figures of its own for this one: that is the usual for tender crops.")
        return Reply(head, tuple(self.lines), working=self._working(), data={"hardy": data},
                     sources=(*cited(*self.crop.hardiness), "computed:frost-dates-fit"))

    def chance(self, kill: float, cover: str | None) -> float | None:
        """Return the chance of living through the span under a cover; None where the place is not known."""
        if self.ctx.season is None or self.span is None:
            return None
        return self.ctx.season.survival(kill, *self.span, cover)

    def _do(self, many: str, one: str) -> str:
        return f"{self.name} {many if self.many else one}"

    def _unknown(self) -> Reply:
        """Say plainly that there are no figures, and what is nearest to one."""
        klass = self.crop.sowing.hardiness_class if self.crop.sowing else None
        if klass:
            kind = klass.replace("-", " ")
            be = "They are" if self.many else "It is"
            self.lines.append(f"{be} usually counted as {kind}, which is only a guide.")
        if self.ctx.season is not None:
            self.lines.append(f"The coldest night of a usual winter here is {self._winters(self.ctx.season)}.")
        data = {"crop": self.crop.id, "damage_c": None, "kill_c": None, "chance": None}
        return Reply(f"I have no cold figures for {self.name}, so I can't promise either way.", tuple(self.lines),
                     sources=("common-practice",), data={"hardy": data})

    # at a temperature

    def _at(self, outside: float) -> str:
        cold, say, where = self.cold, self.say, _under(self.cover, self.ctx)
        felt = outside
        if self.cover:
            kind = self.ctx.facts.climate.covers[self.cover]
            felt = max(outside + middle(kind.night_c), kind.low_c if kind.low_c is not None else -99.0)
            self.lines.append(f"That is about {say.temp(round(felt))} at the plant.")
        asked = BLOSSOM.search(self.request.text) or ("fruit" in self.crop.use and felt > _WOOD_C)
        if cold.blossom and asked:
            return self._blossom(outside, felt, where)
        hardiest, softest = cold.kills[0], cold.kills[-1]
        at, kills = say.temp(outside), say.temp(round(cold.kill_c))
        if cold.winter_kill_c < felt <= cold.kill_c:
            head = f"The tops of {self.name} die back at {at}{where}, but the roots or crowns live."
            rest = say.temp(round(cold.winter_kill_c))
            self.lines.append(f"In the ground they stand about {rest}, more under straw.")
        elif felt <= min(hardiest, cold.kill_c):
            head = f"No, {at} kills {self.name}{where}."
        elif felt <= softest and softest - hardiest >= _KINDS_APART_C:
            head = f"It depends on the kind: {at} is on the edge for {self.name}{where}."
            self.lines.append(f"The hardiest are killed at about {say.temp(round(hardiest))}, the softest at about "
                              f"{say.temp(round(softest))}.")
        elif felt <= cold.kill_c:
            head = f"Probably not: {at} is below the {kills} that usually ends {self.name}."
        elif cold.damage_c is not None and felt <= cold.damage_c:
            head = f"{capital(self.name)} should live through {at}{where}, but not unmarked."
            self.lines.append(f"Leaves are hurt from about {say.temp(round(cold.damage_c))}, and about {kills} kills.")
        elif cold.tender and not self.cover and felt <= self.ctx.facts.growing.number("chilled.below_c"):
            head = f"{capital(self.name)} would live at {at}{where}, but cold like that checks them: bring them in or cover them."
            self.lines.append(f"About {kills} kills {'them' if self.many else 'it'}, and on a clear still night the ground is some degrees colder than the air.")
        else:
            head = f"Yes, {self.name} should stand {at}{where}."
            self.lines.append(f"About {kills} kills {'them' if self.many else 'it'}.")
        if not self.cover and felt <= softest + 1:
            self.lines += self._helps(outside)
        if self.ctx.season is not None and not cold.tender:
            self.lines.append(f"The coldest night of a usual winter here is about "
                              f"{say.temp(round(winter_of(self.ctx.season).usual))}.")
        if not cold.tender:
            self.lines.append("Plants hardened by weeks of cool weather stand more; soft or newly set out ones less.")
        return head

    def _blossom(self, outside: float, felt: float, where: str) -> str:
        """Answer for fruit, whose blossom feels the cold long before its wood."""
        assert self.cold.blossom is not None
        say, name = self.say, self.say.crop(self.crop.id, 1)
        hurt, lost = self.cold.blossom
        at = say.temp(outside)
        self.lines.append(f"Open blossom is hurt from about {say.temp(hurt)}" + (
            f" and mostly lost at {say.temp(lost)}." if lost is not None else "."))
        self.lines.append("Closed buds stand more, tiny fruits no more than blossom.")
        if self.cold.known:
            self.lines.append(f"The plant itself stands about {say.temp(round(self.cold.winter_kill_c))} at rest.")
        if felt > hurt + 0.3:
            return f"Yes, {name} blossom should stand {at}{where}."
        if lost is not None and felt <= lost:
            return f"No, {at} kills most open {name} blossom{where}, though not the plant."
        return f"{capital(name)} blossom is hurt at {at}{where}: cover it if you can."

    def _blossom_alone(self, hurt: float, lost: float | None) -> Reply:
        """Answer for the blossom where no temperature is named: what it stands, till when such nights come, what to do."""
        say, stands = self.say, blossom_stands(self.crop, self.ctx)
        kills = _KILLS.search(self.request.text) or _DIES.search(self.request.text)
        head = f"Not the plant, but the blossom: {stands}." if kills else f"{capital(stands)}."
        lines = ["Closed buds stand more, tiny fruits no more than blossom."]
        if self.ctx.season is not None:
            over = self.ctx.season.frost_dates(hurt).last
            if over.p50 and over.p10:
                usual, late = (say.day(day_in_year(self.ctx.today.year, day)) for day in (over.p50, over.p10))
                lines.append(f"Nights that cold are over here by about {usual} in a usual year, and nine years in ten by {late}.")
            else:
                lines.append("Nights that cold hardly come here in blossom time.")
        lines.append(shield(self.ctx))
        if self.cold.known:
            lines.append(f"The plant itself stands about {say.temp(round(self.cold.winter_kill_c))} at rest.")
        data: dict[str, Any] = {"crop": self.crop.id, "damage_c": hurt, "kill_c": lost, "chance": None, "blossom": True}
        return Reply(head, tuple(lines), working=self._working(), data={"hardy": data},
                     sources=(*cited(*self.crop.hardiness), *SOURCES))

    def _helps(self, outside: float) -> list[str]:
        """Say the least cover that brings a cold night over the killing temperature."""
        covers = self.ctx.facts.climate.covers
        for cover in _BETTER:
            if outside + middle(covers[cover].night_c) > self.cold.kill_c + 0.5:
                name = cover_name(covers[cover], self.say)
                return [f"{capital(name)} would lift it by about {self.say.warmth(*covers[cover].night_c)}."]
        return []

    # a frost

    def _frost(self) -> str:
        """Answer of a frost and not of the whole winter: what it hurts, what kills, and what to do before dusk."""
        cold, say = self.cold, self.say
        kills = f"About {say.temp(round(cold.kill_c))} kills {'them' if self.many else 'it'} outright."
        harm = cold.damage_c if cold.damage_c is not None else cold.kill_c
        if harm <= _LIGHT_FROST_C:
            self.lines.append(kills)
            return f"Yes, {self._do('stand', 'stands')} ordinary frosts."
        doing = against_frost(self.crop, self.ctx.facts, say)
        self.lines += [] if cold.tender else [kills]
        self.lines.append(f"{capital(doing)}.")
        if cold.tender:
            return f"No, the first frost ends {self.name}: leaves are hurt from about {say.temp(round(harm))}."
        return f"A frost hurts {self.name}: leaves are touched from about {say.temp(round(harm))}."

    # through the winter

    def _this_winter(self, chance: float, season: Season) -> str:
        cold, say, where = self.cold, self.say, _under(self.cover, self.ctx)
        if cold.tender and cold.winter_kill_c >= -1.5 and chance < SURE and self.cover not in ("heated", "indoors"):
            return self._tender(season)
        head = self._verdict(chance, where)
        self.lines.append(f"About {say.temp(round(cold.winter_kill_c))} kills {'them' if self.many else 'it'}; "
                          f"the coldest night of a usual winter here is {self._winters(season)}.")
        if cold.winter_kill_c < cold.kill_c:
            self.lines.append(f"That is the roots or crowns; tops die back from about {say.temp(round(cold.kill_c))}.")
        if chance < SURE and not self.cover:
            self.lines += self._under_better(chance)
        return head

    def _winters(self, season: Season) -> str:
        winter = winter_of(season)
        return f"{self.say.temp(round(winter.usual))}, of a hard one {self.say.temp(round(winter.hard))}"

    def _verdict(self, chance: float, where: str) -> str:
        cold = self.cold
        hardiest = self.chance(cold.kills[0], self.cover) or 0.0
        if (chance < LIKELY <= hardiest + 0.2 and cold.kills[-1] - cold.kills[0] >= _KINDS_APART_C
                and cold.winter_kill_c == cold.kill_c and hardiest >= _EVEN):
            rest = "softer kinds seldom" if chance < _POOR else f"others about {_of_ten(chance)}"
            kinds = f"the hardiest kinds of {self.name}"
            return (f"It depends on the kind: {kinds} come through about {_of_ten(hardiest)} winters in ten "
                    f"here{where}, {rest}.")
        if chance >= SURE:
            return f"Yes, {self.name} should come through the winter here{where}."
        come = self._do("come", "comes")
        if chance >= LIKELY:
            return f"{capital(come)} through about {_of_ten(chance)} winters in ten here{where}."
        if chance >= _EVEN:
            return f"It is a gamble: {come} through about {_of_ten(chance)} winters in ten here{where}."
        if chance >= _POOR:
            return f"Seldom: {come} through only about {_of_ten(chance)} winters in ten here{where}."
        return f"No, {self.name} will hardly come through a winter here{where}."

    def _under_better(self, chance: float) -> list[str]:
        for cover in _BETTER:
            better = self.chance(self.cold.winter_kill_c, cover)
            if better is not None and better >= max(LIKELY, chance + 0.15):
                return [f"{capital(_under(cover, self.ctx).strip())} it would be about {_of_ten(better)} in ten."]
        return []

    def _tender(self, season: Season) -> str:
        cold, say, where = self.cold, self.say, _under(self.cover, self.ctx)
        gain = middle(self.ctx.facts.climate.covers[self.cover].night_c) if self.cover else 0.0
        dates = season.frost_dates(cold.kill_c - gain)
        if dates.first.p10 is None:
            return f"Cold seldom kills {self.name} here{where}."
        safe = say.day(day_in_year(self.ctx.today.year, dates.first.p10))
        weeks = self.crop.storage[0].weeks if self.crop.storage else None
        if weeks and weeks[1] >= 8:
            self.lines.append(f"Bring the crop in by about {safe}: one year in ten it is already too late then.")
        else:
            self.lines.append(f"Pick what is left by about {safe}: one year in ten it is already too late then.")
        if dates.first.p50:
            self.lines.append("The night that ends them comes about "
                              f"{say.day(day_in_year(self.ctx.today.year, dates.first.p50))} in a usual year.")
        return f"No, about {say.temp(round(cold.kill_c))} kills {self.name}, so the first frost ends them{where}."

    def _plainly(self) -> str:
        at = self.say.temp(round(self.cold.winter_kill_c))
        if self.cold.tender and self.cold.winter_kill_c == self.cold.kill_c:
            return f"No, about {at} kills {self.name}: the first frost ends them."
        return f"{capital(self._do('stand', 'stands'))} cold down to about {at}."

    def _working(self) -> tuple[str, ...]:
        rows = []
        for row in self.cold.rows:
            figures = [f"{word} {self.say.temp(value)}" for word, value in
                       (("hurt from", row.damage_c), ("killed at", row.kill_c)) if value is not None]
            if figures:
                why = f" ({self.say.prose(row.conditions)})" if row.conditions else ""
                rows.append(f"{_STATES.get(row.state, 'The plant')}: {', '.join(figures)}{why}")
        season = self.ctx.season
        return (*rows, f"Taken here: {self.name} killed at {self.say.temp(round(self.cold.kill_c, 1))}.",
                *(season.notes if season else ()))


def _cover(request: Request, ctx: Context) -> str | None:
    """Return the cover meant: the one named, or that of the bed named."""
    bed = ctx.plot.beds.get(request.bed or "")
    named = request.cover or (bed.cover if bed else None)
    try:
        found = ctx.facts.climate.cover_id(named) if named else None
    except KeyError:
        return None
    return None if found == "none" else found


def _span(request: Request, ctx: Context) -> tuple[date, date] | None:
    if ctx.season is None:
        return None
    if request.when and request.when.end > ctx.today and not request.when.single:
        return max(request.when.start, ctx.today), request.when.end
    return winter_span(ctx.season, ctx.today)


def _under(cover: str | None, ctx: Context) -> str:
    """Say a cover as a place: ' under garden fleece', ' in a cold frame'."""
    if not cover:
        return ""
    if cover == "indoors":
        return " indoors"
    return f" {'in' if cover in _INSIDE else 'under'} {cover_name(ctx.facts.climate.covers[cover], ctx.say)}"


def _of_ten(chance: float) -> str:
    return _TENTHS[round(chance * 10)]
