"""What the answers about soil, compost and water have in common: which ground is meant, loads, units and cautions."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from bot.facts.tending_ground import Measure
from bot.facts.tending_heap import Topic
from bot.growing.space import taken_m2
from bot.handlers.context import Context
from bot.plot.state import Bed
from bot.reply import Reply
from bot.request import Request
from bot.tending.materials import all_words, mentions
from bot.tending.soil import LB_PER_100_SQ_FT
from bot.wording import capital, number, plural, small

_BY = re.compile(r"(\d+(?:\.\d+)?)\s*(?:m|metres?|meters?)?\s*(?:x|by|×)\s*(\d+(?:\.\d+)?)")
_DEEP = re.compile(r"(\d+(?:\.\d+)?)\s*(cm|in|inch|inches|mm)\b(?!\s*(?:of rain|rain|a week|per week))")
_RATE = re.compile(r"(\d+(?:\.\d+)?) (kg|g)(?: of \w+)? per square metre")
_VOLUME_RATE = re.compile(r"(\d+(?:\.\d+)?) l per square metre")
_MM = re.compile(r"(\d+(?:\.\d+)?) to (\d+(?:\.\d+)?) mm\b")
_SPAN_VOLUME = re.compile(r"(\d+(?:\.\d+)?) to (\d+(?:\.\d+)?) l\b(?! per)")
_VOLUME = re.compile(r"(\d+(?:\.\d+)?) l\b(?! per)")
CM_PER_INCH = 2.54


@dataclass(frozen=True, slots=True)
class Ground:
    """The ground a question is about: its area, what it is called, and the bed when it is one."""

    area_m2: float
    name: str
    bed: Bed | None = None
    whole: bool = True  # false: no ground was named and this is a square metre


def ground_of(request: Request, ctx: Context) -> Ground:
    """Return the bed named (or the size, or the only bed a crop stands in); else one square metre."""
    if request.size_m:
        length, width = request.size_m
        return Ground(length * width, f"a {ctx.say.bed_size(length, width)} bed")
    square = request.amount("m2")
    if square:
        return Ground(square.value, ctx.say.area(square.value))
    for bed_id in request.beds:
        bed = ctx.plot.beds.get(bed_id)
        if bed is not None and bed.area_m2:
            return Ground(bed.area_m2, bed.name, bed)
    spoken = ctx.memory.requests[-1].beds if ctx.memory.requests and ctx.facts.asking.ground.there.search(request.text) and not request.crops else ()
    pointed = ctx.plot.beds.get(spoken[0]) if len(spoken) == 1 else None
    if pointed is not None and pointed.area_m2 and not request.beds:
        return Ground(pointed.area_m2, pointed.name, pointed)  # "how much compost does it need", of the bed just spoken of
    by = _BY.search(request.text.lower())
    if by and not request.beds:
        length, width = float(by[1]), float(by[2])
        if 0 < length <= 100 and 0 < width <= 100:
            return Ground(length * width, f"a {ctx.say.bed_size(length, width)} bed")
    standing = [p for crop in request.crops for p in ctx.plot.standing(crop=crop) if p.bed and p.in_ground]
    if len({p.bed for p in standing}) == 1:
        bed = ctx.plot.beds.get(standing[0].bed or "")
        if bed is not None and bed.area_m2:
            others = len(ctx.plot.standing(bed.id)) - 1
            area = min(bed.area_m2, sum(taken_m2(p, bed, ctx.facts, others) for p in standing))
            return Ground(area, f"the {ctx.say.crop(standing[0].crop)} in {bed.name}", bed)
    return Ground(1.0, "a square metre" if ctx.say.words != "us" else "a square meter", whole=False)


def depth_in(request: Request) -> float | None:
    """Return a depth typed with the question, cm."""
    match = _DEEP.search(request.text.lower())
    if match is None:
        return None
    value = float(match[1])
    return value * CM_PER_INCH if match[2].startswith("in") else value / 10 if match[2] == "mm" else value


def materials_of(request: Request, ctx: Context) -> tuple[str, ...]:
    """Return the materials named, as understanding took them, else read from the words."""
    if request.materials:
        return request.materials
    found = tuple(dict.fromkeys(m.material for m in mentions(request.text, material_words(ctx))))
    return tuple(m for m in found if m != "urine" or not ctx.facts.asking.ground.wee.search(request.text))


def material_words(ctx: Context) -> dict[str, list[str]]:
    """Return every word for something that goes on heaps and beds, by material or heap row."""
    room = ctx.facts.tending
    return all_words(room.material_words.words, {row.id: row.words for row in room.compost.stuff if row.words})


def measure_l(row: Measure | None, ctx: Context) -> float:
    """Return the litres of a measure in the plot's part of the world."""
    if row is None:
        return 1.0
    return row.us_litres if ctx.say.us and row.us_litres else row.litres


_PARTS = {"¼": "a quarter of", "½": "half", "¾": "three quarters of"}


def loads(litres: float, ctx: Context) -> str:
    """Say a volume as barrow loads, buckets or bags: 'about 1½ barrows' (or buckets under half a barrow)."""
    room = ctx.facts.tending
    barrow, bucket = measure_l(room.measure("barrow"), ctx), measure_l(room.measure("bucket"), ctx)
    if litres < barrow * 0.4:
        return "half a bucket" if litres < bucket * 0.75 else plural(round(litres / bucket), "bucket")
    count = _quarters(litres / barrow)
    return (
        f"{_PARTS[count]} a barrow load" if count in _PARTS else f"{count} barrow load{'' if count == '1' else 's'}"
    )


def load_range(low: float, high: float, ctx: Context) -> str:
    """Say a span of volumes as loads: '1 to 3 barrow loads', '2 buckets to 1 barrow load'."""
    a, b = loads(low, ctx), loads(high, ctx)
    if a == b:
        return a
    if "barrow load" in a and "barrow load" in b:
        return f"{a.partition(' barrow load')[0].removesuffix(' a').removesuffix(' of')} to {b}"
    few, _, unit = a.partition(" ")
    return f"{few} to {b}" if unit.rstrip("s") == b.partition(" ")[2].rstrip("s") else f"{a} to {b}"


def bags(litres: float, ctx: Context) -> str:
    """Say a volume as bags of the usual size."""
    size = measure_l(ctx.facts.tending.measure("bag"), ctx)
    return f"{plural(max(1, round(litres / size + 0.3)), 'bag')} of {ctx.say.bulk(size)}"


def _quarters(count: float) -> str:
    if count >= 3:
        return number(count, 1) if abs(count - round(count)) < 0.25 else number(count, 0.5)
    return number(max(0.25, count), 0.25 if count < 1 else 0.5)


def hazards(ids: Iterable[str], ctx: Context) -> tuple[str, ...]:
    """Return the cautions of some hazards, a line each."""
    out = []
    for hazard_id in dict.fromkeys(ids):
        row = ctx.facts.tending.hazard(hazard_id)
        whole = f"{capital(row.hazard)}: {small(row.do)}.".replace("..", ".")
        out.append(units(row.short or whole, ctx))
    return tuple(out)


def topic_lines(topic: Topic, ctx: Context) -> list[str]:
    """Return what a topic says, in the plot's units."""
    return [units(line, ctx) for line in topic.say]


def topic_reply(topic: Topic, intent: str, ctx: Context) -> Reply:
    """Answer with a topic alone: its lines, the first of its cautions, and its id under the intent as data."""
    said = topic_lines(topic, ctx)
    return Reply(
        said[0],
        lines=tuple(said[1:]),
        cautions=hazards(topic.hazards, ctx)[:1],
        sources=tuple(topic.source),
        data={intent: {"topic": topic.id}},
    )


def units(text: str, ctx: Context) -> str:
    """Say the rates, volumes and measures inside a sentence of the knowledge in the plot's units.

    "10 kg per square metre" becomes "20 lb per 100 sq ft", and the rest goes through `Wording.prose`.
    """
    if not ctx.say.us:
        return ctx.say.named(text)
    text = _RATE.sub(lambda m: rate(float(m[1]) * (1000 if m[2] == "kg" else 1), ctx), text)
    text = _VOLUME_RATE.sub(lambda m: f"{number(float(m[1]) / 40.7458, 0.05)} gal per sq ft", text)
    text = _SPAN_VOLUME.sub(
        lambda m: f"{number(float(m[1]) / 3.785411784, 0.5)} to {number(float(m[2]) / 3.785411784, 0.5)} gal", text
    )
    text = _VOLUME.sub(lambda m: ctx.say.volume(float(m[1])), text)
    text = _MM.sub(lambda m: f"{_sixteenths(float(m[1]))} to {_sixteenths(float(m[2]))} in", text)
    return ctx.say.prose(text)


def _sixteenths(mm: float) -> str:
    """Say a small length as a fraction of an inch."""
    found = Fraction(max(1, round(mm / 25.4 * 16)), 16)
    return f"{found.numerator}/{found.denominator}" if found.denominator > 1 else str(found.numerator)


def rate(g_per_m2: float, ctx: Context, *, small: bool = False) -> str:
    """Say a rate by area: g per m², or lb per 100 sq ft (oz where it is little, or when `small`)."""
    if not ctx.say.us:
        return f"{number(g_per_m2, 10 if g_per_m2 >= 100 else 5 if g_per_m2 >= 15 else 1)} g per m²"
    lb = g_per_m2 / LB_PER_100_SQ_FT
    if lb < 0.5 or small:
        return f"{number(lb * 16, 1 if lb * 16 >= 3 else 0.25)} oz per 100 sq ft"
    return f"{number(lb, 0.5 if lb >= 5 else 0.1)} lb per 100 sq ft"


def rate_range(low: float, high: float, ctx: Context) -> str:
    """Say a span of rates in one unit: '100 to 200 g per m²'."""
    small = low / LB_PER_100_SQ_FT < 0.5
    a, b = rate(low, ctx, small=small), rate(high, ctx, small=small)
    return a if a == b else f"{a.partition(' ')[0]} to {b}"


def chain(*groups: Sequence[str]) -> tuple[str, ...]:
    """Return items once each, in order."""
    return tuple(dict.fromkeys(item for group in groups for item in group))
