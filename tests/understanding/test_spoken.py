"""Messages cut by hand: read, checked, and slotted as they are when they come in."""

from __future__ import annotations

from pathlib import Path

import pytest

from bot.facts.errors import KnowledgeError
from bot.understanding import Understander
from bot.understanding.spoken import Message, lessons, load_spoken


def _written(root: Path, body: str) -> Path:
    folder = root / "phrases" / "spoken"
    folder.mkdir(parents=True)
    (folder / "one.yaml").write_text(f"source: [common-practice]\nmessages:\n{body}", encoding="utf-8")
    return root


def test_a_message_is_one_thing_or_several_in_order(tmp_path: Path) -> None:
    root = _written(tmp_path,
                    '- when_sow: "when do leeks go in"\n- [log_sow: "sowed peas,", depth: "how deep should they be"]\n')
    single, several = load_spoken(root, {"when_sow", "log_sow", "depth"})
    assert single.parts == (("when_sow", "when do leeks go in"),)
    assert several.text == "sowed peas, how deep should they be"
    assert several.text[several.starts()[0]:] == "how deep should they be"


def test_two_messages_one_after_the_other(tmp_path: Path) -> None:
    root = _written(tmp_path, '- {after: {can: "can you bottle tomatoes"}, then: {can: "pressure"}}\n'
                              '- {after: [log_sow: "sowed peas,", depth: "how deep?"], '
                              'then: {jobs: "what else is there to do"}}\n')
    first, leaning, second, apart = load_spoken(root, {"can", "log_sow", "depth", "jobs"})
    assert first.after is None and not first.leans
    assert leaning.after == ("can", "can you bottle tomatoes") and leaning.leans
    assert len(second.parts) == 2 and apart.after == ("depth", "how deep?") and not apart.leans


def test_an_unknown_intent_and_an_empty_text_are_named(tmp_path: Path) -> None:
    root = _written(tmp_path, '- sowing: "in they go"\n- depth: "..."\n- depth: ""\n')
    with pytest.raises(KnowledgeError) as caught:
        load_spoken(root, {"depth"})
    told = [str(fault) for fault in caught.value.faults]
    assert (any("'sowing'" in line for line in told)
            and any("messages.2" in line and "says nothing" in line for line in told))


def test_parts_are_slotted_and_joined_stretches_kept(reader: Understander) -> None:
    message = Message("x", (("log_harvest", "picked 2 kg of beans"), ("fits_bed", "and what can go in bed 3"),
                            ("jobs", "anything else to do?")))
    lesson, = lessons([message], reader.marker)
    assert [p.intent for p in lesson.parts] == ["log_harvest", "fits_bed", "jobs"]
    assert lesson.parts[0].words == ["picked", "<qty>", "of", "<crop>"]
    assert lesson.parts[1].words[0] == "what" and "<bed>" in lesson.parts[1].words
    assert lesson.parts[2].mark and len(lesson.joined) == 3


def test_the_shipped_messages_are_many_and_of_every_intent(reader: Understander) -> None:
    messages = load_spoken(reader.facts.root, reader.intents)
    met = {intent for m in messages for intent, _ in m.parts}
    assert met == set(reader.intents) and sum(len(m.parts) > 1 for m in messages) > 4000
