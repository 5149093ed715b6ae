"""What a trade word means."""

from __future__ import annotations

import re

from rapidfuzz import fuzz, process

from bot.facts.glossary import Term
from bot.handlers import answers
from bot.handlers.context import Context
from bot.reply import Choice, Reply, ask
from bot.request import Request

_ASKED = re.compile(
    r"^(?:what(?:'s| is| are| does)?|define|meaning of|explain)\s+(?:an?|the)?\s*|\s+(?:mean|means|meaning)\b|\?",
    re.IGNORECASE,
)


@answers("glossary")
def glossary(request: Request, ctx: Context) -> Reply:
    """Explain a trade word in a sentence or two, with its kin."""
    word = request.term or _ASKED.sub("", request.text).strip()
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
        f"{_cap(term.term)}: {_low(ctx.say.prose(term.meaning), term)}",
        lines=tuple(lines),
        sources=tuple(term.source),
        choices=tuple(Choice(other.term, f"what is {other.term}") for other in kin),
        data={"glossary": {"term": term.id, "see": list(term.see)}},
    )


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
    return meaning if proper else meaning[:1].lower() + meaning[1:]


def _cap(text: str) -> str:
    return text[:1].upper() + text[1:]
