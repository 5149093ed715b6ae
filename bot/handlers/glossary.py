"""What a trade word means."""

from __future__ import annotations

from collections import Counter
from math import log

from rapidfuzz import fuzz, process

from bot.facts.glossary import Term
from bot.handlers import answers, handler_for
from bot.handlers.context import Context
from bot.handlers.sprouting import sprouting_reply
from bot.reply import Choice, Reply, ask
from bot.request import Request
from bot.tending.signs import stem, words_of
from bot.wording import capital, small


@answers("glossary")
def glossary(request: Request, ctx: Context) -> Reply:
    """Explain a trade word in a sentence or two, with its kin."""
    asks, sprouted = ctx.facts.asking.talk, sprouting_reply(request, ctx)
    if sprouted is not None:
        return sprouted
    if asks.frost_here.search(request.text) and ctx.plot.settings.place is not None:
        return handler_for("frost_dates")(request.with_(intent="frost_dates"), ctx)
    told = asks.described.search(request.text)
    likely = _by_meaning(request.text[told.end():], ctx) if told else None
    if likely is not None:
        request = request.with_(term=likely.term)
    word = request.term or asks.word.sub("", request.text).strip()
    if not word:
        return ask("Which word shall I explain?", waiting=request, wants="term")
    term = ctx.facts.glossary.find(word)
    if term is None:
        return _unknown(word, request, ctx)
    also = [w for w in term.words if w.lower() not in term.term.lower()][:3]
    lines = [f"Also said: {', '.join(also)}."] if also else []
    if term.example:
        lines.append(ctx.say.prose(term.example))
    if term.crops:
        lines.append(f"You meet it with {', '.join(ctx.say.crop(c) for c in term.crops[:4])}.")
    kin = [other for other in ctx.facts.glossary.terms if other.id in term.see]
    return Reply(
        f"{capital(term.term)}: {_low(ctx.say.prose(term.meaning), term)}",
        lines=tuple(lines),
        sources=tuple(term.source),
        choices=tuple(Choice(other.term, f"what is {other.term}") for other in kin),
        data={"glossary": {"term": term.id, "see": list(term.see)}},
    )


def _by_meaning(description: str, ctx: Context) -> Term | None:
    """Return the term whose meaning best holds the words of a description ("when you stand seed potatoes to sprout").

    Words count by how few meanings hold them (inverse document frequency, Spärck Jones 1972); at least two must agree,
    and the words of the term itself do not count: a forgotten word is not in its own description.
    """
    wanted = _stems(description) - ctx.facts.asking.talk.idle
    meanings = [(term, _stems(f"{term.meaning} {' '.join(term.words)}"), _stems(term.term))
                for term in ctx.facts.glossary.terms]
    counts = Counter(stem for _, stems, _ in meanings for stem in stems)
    best: tuple[float, Term] | None = None
    for term, stems, own in meanings:
        common = (wanted & stems) - own
        score = sum(log(len(meanings) / counts[stem]) for stem in common) - 2.0 * len(wanted & own)
        if len(common) >= 2 and (best is None or score > best[0]):
            best = (score, term)
    return best[1] if best else None


def _stems(text: str) -> set[str]:
    return {stem(word) for clause in words_of(text) for word in clause}


def _unknown(word: str, request: Request, ctx: Context) -> Reply:
    spellings = {w: term for term in ctx.facts.glossary.terms for w in term.spellings()}
    near = process.extract(word.lower(), list(spellings), scorer=fuzz.ratio, limit=3, score_cutoff=65)
    terms = list(dict.fromkeys(spellings[name].term for name, _, _ in near))
    if terms:
        return ask(
            f"I have no note on {word!r}. One of these?",
            [(t, f"what is {t}") for t in terms],
            waiting=request,
            wants="term",
        )
    return Reply(
        f"I have no note on {word!r}.", lines=("Try another word for it, or tell me what you are trying to do.",)
    )


def _low(meaning: str, term: Term) -> str:
    first = meaning.split(" ", 1)[0]
    proper = term.term[:1].isupper() or (len(first) > 1 and first.isupper())
    return meaning if proper else small(meaning)
