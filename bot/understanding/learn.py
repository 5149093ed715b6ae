"""Learn from the phrases and keep what was learned beside them: `python -m bot.understanding.learn [--glance] [--dangers] [--scales]`.

`--glance` also learns to read a whole message at one glance, `--dangers` only what of it hears dangers, and `--scales` first learns anew
how messages are cut and how sure a reading is. All need the `learn` extra, and take two hours, five minutes, and six hours on one processor.

Without this the bot still learns by itself when the phrases changed, and keeps it in the cache folder; it only takes
some minutes at the first start.
"""

from __future__ import annotations

import sys

from bot.facts import Facts
from bot.handlers.dangers import told_by_words
from bot.understanding import glance, ways
from bot.understanding.reader import Understander
from bot.understanding.school import SHIPPED, save
from bot.understanding.spoken import load_dangers, load_spoken
from bot.understanding.weighing import learn_scales, write_scales


def main() -> None:
    """Write the shipped file."""
    facts = Facts()
    if "--scales" in sys.argv[1:]:
        scales, weigher = learn_scales(facts)
        write_scales(facts.root, scales)
        ways.save(facts.root / "phrases" / ways.SHIPPED, weigher)
    reader = Understander(facts)
    if "--glance" in sys.argv[1:] or "--dangers" in sys.argv[1:]:
        from bot.understanding.ear_school import hearing
        from bot.understanding.glance_school import glance_of

        seen = glance_of(facts, reader.marker) if "--glance" in sys.argv[1:] else reader.glance
        assert seen is not None, "there is no glance whose ear for dangers could be learned anew: --glance"
        # What the words tell in messages of other things is learned as well: the ear should not unlearn it as everyday talk.
        told = [(told_by_words(message.text, facts.root), message.text) for message in load_spoken(facts.root, reader.intents)]
        dangers = [*load_dangers(facts.root), *((name, text) for name, text in told if name)]
        glance.save(facts.root / "phrases" / glance.SHIPPED, hearing(seen, dangers, [text for name, text in told if not name], reader.marker))
    school = reader.school
    path = facts.root / "phrases" / SHIPPED
    save(path, school)
    model = school.model
    print(f"{path.name}: {path.stat().st_size / 1e6:.1f} MB, {len(model.labels)} phrases, {len(model.index)} features")


if __name__ == "__main__":
    main()
