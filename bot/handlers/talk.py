"""Hello, thanks, help, and what is said when a message is not understood."""

from __future__ import annotations

from bot.handlers import answers
from bot.handlers.context import Context
from bot.handlers.naming import bed_name
from bot.handlers.plot_facts import plot_facts
from bot.plot.state import Planting
from bot.reply import Choice, Reply
from bot.request import Request
from bot.wording import capital, listing, plural


@answers("help")
def help_(request: Request, ctx: Context) -> Reply:
    """Teach the four main uses, with examples from this plot; or say what is kept of the plot itself."""
    kept = plot_facts(request.text, ctx)
    if kept is not None:
        return kept
    if ctx.facts.asking.talk.reminders.search(request.text):
        return Reply(
            "I keep no reminders; I ring for kitchen timers only.",
            lines=(
                'Jobs come round by themselves: ask "what needs doing this week". "show my notes" has what you noted.',
            ),
            choices=(Choice("Jobs this week", "what needs doing this week"),),
        )
    picked = _example_planting(ctx)
    empty = next((bed for bed in ctx.plot.empty_beds() if bed.kind not in ("fruit", "frame")), None)
    crop = ctx.say.crop(picked.crop) if picked else ctx.say.bean
    where = f" from {bed_name(picked.bed, ctx)}" if picked and picked.bed else ""
    amount = ctx.say.mass(0.9072) if ctx.say.us else "1.2 kg"
    bed = empty.name if empty else next((b.name for b in ctx.plot.beds.values()), "Bed 1")
    cold = ctx.say.temp(-9)
    weight = "pounds" if ctx.say.us else "kilos"
    known = ctx.facts.crops.get(picked.crop) if picked else None
    frozen = crop if known is not None and "freeze" in known.preserving else ctx.say.bean
    asks = f"what fits {bed}" if ctx.plot.beds else "what can I sow now"
    also = "what can I sow now" if ctx.plot.beds else f"when do I sow {ctx.say.crop('pea')}"
    tells = f"picked {amount} of {crop}{where}"
    lines = (
        f'Ask what to do: "{asks}", "{also}", "how far apart are leeks", "will the kale stand {cold}".',
        f'Tell me what you did, and I keep it: "{tells}", "sowed peas in {bed}". '
        '"undo" takes it back, "no, bed 4" changes it.',
        f'Keep the harvest: "how long do I blanch {ctx.say.bean}", '
        f'"froze 4 bags of {frozen}", "what\'s in the freezer".',
        f'Look back: "show me the plot", "how many {weight} of {crop} did we pick", "weekly summary".',
        'Say "why?" after any answer for the figures and where they come from.',
    )
    more = (
        'Your place: send a location or say "my plot is near York". Units: "use US units".',
        f'Beds: "add a bed {ctx.say.bed_example} called Long bed", "bed 4 is shaded after 2 pm".',
        'Sharing: "give me an invite code". Your record: "export my data", "delete my data".',
        "Things that look wrong on a plant: describe what you see, and on which crop.",
    )
    choices = [
        Choice(capital(asks), asks),
        Choice("Sow now", "what can I sow now"),
        Choice("Show the plot", "show me the plot"),
    ]
    if not ctx.plot.beds:
        choices[-1] = Choice("Add a bed", "add a bed")
    unique = tuple({choice.says: choice for choice in choices}.values())
    return Reply(
        "Four things I do: answer, write down, help you keep the harvest, and look back.",
        lines=lines,
        more=more,
        choices=unique,
    )


def _example_planting(ctx: Context) -> Planting | None:
    """Return a planting that makes a good example: one being picked now, else the newest in the ground."""
    standing = [p for p in ctx.plot.standing() if p.bed and p.in_ground and p.crop in ctx.facts.crops]
    picked = [p for p in standing if p.harvests]
    if picked:
        return max(picked, key=lambda p: p.harvests[-1].day)
    return max(standing, key=lambda p: p.began or ctx.today) if standing else None


@answers("greeting")
def greeting(request: Request, ctx: Context) -> Reply:
    """Say hello, with the one or two things worth knowing today."""
    if ctx.facts.asking.talk.parting.search(request.text):
        return Reply("Good growing. I'm here when you need me.")
    hour = ctx.now.hour
    part = "morning" if 4 <= hour < 12 else "afternoon" if hour < 18 else "evening"
    # The gardener's own clock is the better one.
    part = next((said for said in ("morning", "afternoon", "evening") if said in request.text.lower()), part)
    hello = f"Good {part}."
    if not ctx.plot.beds and not ctx.plot.journal:
        return Reply(
            f"{hello} I am Riddle, for your kitchen garden.",
            lines=(
                "Ask me about sowing, spacing, frost, pests or keeping the harvest, "
                "or tell me what you did and I write it down.",
                "Tell me where your plot is and I can say when: send a location or type a town.",
            ),
            choices=(Choice("What can you do", "help"), Choice("Add a bed", "add a bed")),
        )
    return Reply(
        f"{hello} {_today_said(ctx)}".strip(),
        choices=(
            Choice("Jobs this week", "what needs doing this week"),
            Choice("Sow now", "what can I sow now"),
            Choice("Show the plot", "show me the plot"),
        ),
    )


def _today_said(ctx: Context) -> str:
    """Return the most useful thing about the plot in a sentence: an empty bed, else how much stands."""
    empty = [bed.name for bed in ctx.plot.empty_beds() if bed.kind not in ("fruit", "frame")]
    if empty:
        verb, them = ("is", "it") if len(empty) == 1 else ("are", "them")
        return f"{listing(empty[:3])} {verb} empty; shall we fill {them}?"
    crops = list(dict.fromkeys(p.crop for p in ctx.plot.standing()))
    return f"{plural(len(crops), 'crop')} standing." if crops else ""


@answers("thanks")
def thanks(request: Request, ctx: Context) -> Reply:
    """Take thanks."""
    return Reply("You're welcome.")


@answers("none")
def none(request: Request, ctx: Context) -> Reply:
    """Say that a message was not understood or is not about the garden; offer what it may have meant."""
    if "left" in request.flags:
        return Reply(f'I did not follow "{request.text}", so I left it.', lines=("Say that again by itself, please.",))
    short = ctx.facts.asking.talk.bare.fullmatch(request.text)
    if "no" in request.flags:
        return Reply("All right. Nothing was recorded.")
    if short and short["no"]:
        return Reply("All right.")
    if short and short["number"]:
        return Reply("I had no list on offer. Tell me in a few words.", choices=(Choice("What can you do", "help"),))
    if "yes" in request.flags or (short and short["yes"]):
        return Reply("Yes to what? I had nothing waiting for an answer.", choices=(Choice("What can you do", "help"),))
    crop = request.crop
    if crop:
        name = ctx.say.crop(crop)
        standing = ctx.plot.standing(crop=crop)
        choices = [Choice("When to sow", f"when to sow {name}"), Choice("All about it", f"tell me about {name}")]
        if standing:
            choices.insert(0, Choice("I picked some", f"picked {name}"))
        return Reply(
            f"What about {name}?", choices=tuple(choices), lines=("Ask me, or tell me what you did with them.",)
        )
    if request.bed:
        bed = bed_name(request.bed, ctx)
        return Reply(
            f"What about {bed}?",
            choices=(Choice("What's in it", f"what's in {bed}"), Choice("What fits", f"what fits {bed}")),
        )
    if "?" in request.text and not request.text.strip("?! ."):
        return help_(request, ctx)  # "?" is what one types for help
    if not any(ch.isalnum() for ch in request.text):
        return Reply(
            "I read words, not pictures or signs. Tell me in a few words what you did or want to know.",
            choices=(Choice("What can you do", "help"),),
        )
    return Reply(
        "I didn't follow that, and recorded nothing.",
        lines=(
            "I know kitchen gardens: sowing, spacing, frost, pests, keeping the harvest, and the record of your plot.",
            f'Try it in other words, such as "what can I sow now" or "{ctx.say.picked_example}".',
        ),
        choices=(Choice("What can you do", "help"),),
    )
