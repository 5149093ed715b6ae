"""What a night of so many degrees, or a frost, does to a crop."""

from __future__ import annotations

from bot.handlers.blossoming import blossom_at
from bot.handlers.cold import against_frost, cover_name
from bot.handlers.cold_question import BETTER, ColdQuestion
from bot.season.covering import middle
from bot.season.winter import winter_of
from bot.wording import capital

_LIGHT_FROST_C = -2.5  # what is unhurt above this stands a light frost
_WOOD_C = -8.0  # colder than this, the question is about the plant and not its blossom


def at_degrees(asked: ColdQuestion, outside: float) -> str:
    """Answer for a night of so many degrees outside: what lives through it, unmarked or not."""
    cold, say, where = asked.cold, asked.say, asked.under(asked.cover)
    felt = outside
    if asked.cover:
        kind = asked.ctx.facts.climate.covers[asked.cover]
        felt = max(outside + middle(kind.night_c), kind.low_c if kind.low_c is not None else -99.0)
        asked.lines.append(f"That is about {say.temp(round(felt))} at the plant.")
    of_blossom = asked.words.blossom.search(asked.request.text) or ("fruit" in asked.crop.use and felt > _WOOD_C)
    if cold.blossom and of_blossom:
        return blossom_at(asked, outside, felt, where)
    hardiest, softest = cold.kills[0], cold.kills[-1]
    at, kills = say.temp(outside), say.temp(round(cold.kill_c))
    if cold.winter_kill_c < felt <= cold.kill_c:
        head = f"The tops of {asked.name} die back at {at}{where}, but the roots or crowns live."
        rest = say.temp(round(cold.winter_kill_c))
        asked.lines.append(f"In the ground they stand about {rest}, more under straw.")
    elif felt <= min(hardiest, cold.kill_c):
        head = f"No, {at} kills {asked.name}{where}."
    elif felt <= softest and softest - hardiest >= asked.ctx.facts.growing.number("cold.kinds_apart_c"):
        head = f"It depends on the kind: {at} is on the edge for {asked.name}{where}."
        asked.lines.append(f"The hardiest are killed at about {say.temp(round(hardiest))}, the softest at about "
                           f"{say.temp(round(softest))}.")
    elif felt <= cold.kill_c:
        head = f"Probably not: {at} is below the {kills} that usually ends {asked.name}."
    elif cold.damage_c is not None and felt <= cold.damage_c:
        head = f"{capital(asked.name)} should live through {at}{where}, but not unmarked."
        asked.lines.append(f"Leaves are hurt from about {say.temp(round(cold.damage_c))}, and about {kills} kills.")
    elif cold.tender and not asked.cover and felt <= asked.ctx.facts.growing.number("chilled.below_c"):
        head = f"{capital(asked.name)} would live at {at}{where}, but cold like that checks them: bring them in or cover them."
        asked.lines.append(f"About {kills} kills {'them' if asked.many else 'it'}, and on a clear still night the ground is some degrees colder than the air.")
    else:
        head = f"Yes, {asked.name} should stand {at}{where}."
        asked.lines.append(f"About {kills} kills {'them' if asked.many else 'it'}.")
    if not asked.cover and felt <= softest + 1:
        asked.lines += _helps(asked, outside)
    if asked.ctx.season is not None and not cold.tender:
        asked.lines.append(f"The coldest night of a usual winter here is about "
                           f"{say.temp(round(winter_of(asked.ctx.season).usual))}.")
    if not cold.tender:
        asked.lines.append("Plants hardened by weeks of cool weather stand more; soft or newly set out ones less.")
    return head


def _helps(asked: ColdQuestion, outside: float) -> list[str]:
    """Say the least cover that brings a cold night over the killing temperature."""
    covers = asked.ctx.facts.climate.covers
    for cover in BETTER:
        if outside + middle(covers[cover].night_c) > asked.cold.kill_c + 0.5:
            name = cover_name(covers[cover], asked.say)
            return [f"{capital(name)} would lift it by about {asked.say.warmth(*covers[cover].night_c)}."]
    return []


def in_a_frost(asked: ColdQuestion) -> str:
    """Answer of a frost and not of the whole winter: what it hurts, what kills, and what to do before dusk."""
    cold, say = asked.cold, asked.say
    kills = f"About {say.temp(round(cold.kill_c))} kills {'them' if asked.many else 'it'} outright."
    harm = cold.damage_c if cold.damage_c is not None else cold.kill_c
    if harm <= _LIGHT_FROST_C:
        asked.lines.append(kills)
        return f"Yes, {asked.does('stand', 'stands')} ordinary frosts."
    picked = asked.crop.harvest.frost if asked.crop.harvest else None
    if picked and asked.words.bring_in.search(asked.request.text):  # asked of the fruit, and not of the plant
        asked.lines += [f"{capital(say.prose(picked))}.", *([] if cold.tender else [kills])]
        return f"{'No, the first frost ends' if cold.tender else 'A frost hurts'} {asked.name}: leaves are hurt from about {say.temp(round(harm))}."
    doing = against_frost(asked.crop, asked.ctx.facts, say)
    asked.lines += [] if cold.tender else [kills]
    asked.lines.append(f"{capital(doing)}.")
    if cold.tender:
        return f"No, the first frost ends {asked.name}: leaves are hurt from about {say.temp(round(harm))}."
    return f"A frost hurts {asked.name}: leaves are touched from about {say.temp(round(harm))}."
