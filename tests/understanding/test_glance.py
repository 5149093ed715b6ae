"""Reading a whole message at one glance."""

from __future__ import annotations

import random
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from bot.handlers.context import Memory
from bot.understanding import PlotNames, Understander
from bot.understanding.found import Sheet
from bot.understanding.glance import MOST, SAFE, Glance, Place, Seen, load, places_of, save
from bot.understanding.text import clean

NAMES = PlotNames(beds={"bed-1": ("Bed 1",), "bed-3": ("Bed 3",)})


def _sheet(reader: Understander, text: str) -> Sheet:
    return reader.sheet(clean(text), NAMES, "GB")[0]


def _look(reader: Understander, text: str) -> tuple[Sheet, Seen]:
    sheet = _sheet(reader, text)
    seen = reader.look(sheet)
    assert seen is not None, "what was learned is not of the intents there are: python -m bot.understanding.learn --glance"
    return sheet, seen


def test_it_sees_what_each_stretch_is_of_and_where_the_next_begins(reader: Understander) -> None:
    sheet, seen = _look(reader, "sowed two rows of peas in bed 3, how far apart should leeks be")
    assert reader.glance is not None
    names, how = reader.glance.intents, next(i for i, t in enumerate(sheet.tokens) if t.word == "how")
    assert names[int(seen.odds(0, how).argmax())] == "log_sow"
    assert names[int(seen.odds(how, len(sheet.tokens)).argmax())] == "spacing"
    assert seen.begin(how) > 0 > max(seen.begin(at) for at in seen.tokens if at not in (0, how))


def test_chances_of_a_stretch_sum_to_one(reader: Understander) -> None:
    sheet, seen = _look(reader, "blanching time for broad beans")
    assert np.exp(seen.odds(0, len(sheet.tokens))).sum() == pytest.approx(1.0, abs=1e-3)


@pytest.mark.parametrize("text", ["", "?", "zzxq vorf", "picked beans and " * 200])
def test_any_message_can_be_looked_at(reader: Understander, text: str) -> None:
    sheet = _sheet(reader, text)
    seen = reader.look(sheet)
    assert seen is not None and len(seen.tokens) <= MOST
    assert np.isfinite(seen.begins).all() and np.isfinite(seen.odds(0, len(sheet.tokens))).all()
    assert not seen.odds(9000, 9001).any()


def test_a_slot_stands_in_one_place_with_its_words_and_its_marks(reader: Understander) -> None:
    places = places_of(_sheet(reader, "picked 2 kg of runner beans from bed 3"))
    assert [place.words for place in places] == ["picked", "2 kg", "of", "runner beans", "from", "bed 3"]
    assert [place.marks for place in places] == [(), ("<qty>", "<kg>"), (), ("<crop>",), (), ("<bed>",)]


@pytest.mark.parametrize(("text", "answer"), [
    ("the toddler has been sucking on foxglove flowers", "alarm:poison"),
    ("my little girl has eaten some laburnum pods", "alarm:poison"),
    ("bottled the runner beans an hour in the big pan, how long do they keep", "safety:low-acid-done"),
    ("slugs ate all the lettuces last night", ""),
    ("picked 2 kg of runner beans and had them for tea", ""),
])
def test_what_hurts_is_told_from_what_only_sounds_like_it(reader: Understander, text: str, answer: str) -> None:
    sheet, seen = _look(reader, text)
    assert reader.hurts(sheet)[0] == answer
    assert sum(chance for _, chance in seen.hurts()) == pytest.approx(1.0, abs=1e-3)


def test_what_was_learned_is_kept_and_refused_for_other_intents(reader: Understander, tmp_path: Path) -> None:
    assert reader.glance is not None
    path = tmp_path / "kept.npz"
    save(path, reader.glance)
    sheet = _sheet(reader, "when do I sow leeks")
    kept = load(path, reader.glance.intents)
    assert kept is not None
    assert np.allclose(kept.look(sheet).odds(0, 5), reader.glance.look(sheet).odds(0, 5), atol=0.02)
    assert load(path, reader.glance.intents[:-1]) is None
    path.write_bytes(path.read_bytes()[:200])
    assert load(path, reader.glance.intents) is None


def test_without_it_messages_are_still_read(reader: Understander, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reader, "glance", None)
    reading = reader.read("how far apart do leeks go", NAMES, Memory(), date(2026, 6, 17))
    assert [r.intent for r in reading.requests] == ["spacing"]


def test_reading_runs_through_the_layers_that_were_learned(reader: Understander) -> None:
    """The layers in numpy give what PyTorch gives for them: an outside check, where the `learn` extra is installed."""
    torch = pytest.importorskip("torch")
    from bot.understanding import glance_rows
    from bot.understanding import glance_school as school
    from bot.understanding.pieces import Pieces

    torch.manual_seed(3)
    places = [Place(0, "pulled"), Place(1, "onions", ("<crop>",)), Place(2, "from"), Place(3, "bed 3", ("<bed>", "<num>")), Place(5, "?")]
    pieces, marks = Pieces(["[PAD]", "[UNK]", "[MASK]", "[CLS]", "[SEP]", "pull", "##ed", "onions", "from", "bed", "3", "?"]), {"<crop>": 0, "<bed>": 1}
    net = school._Net(len(pieces.names), 48, 2, len(marks), 7, 3).eval()
    step = glance_rows.numbers([glance_rows.Row(places, [], [])], pieces, marks)
    with torch.no_grad():
        x: Any = net.look(step)
        one, first, last = torch.tensor([0]), torch.tensor([0]), torch.tensor([4])
        wanted = net.odds(x, one, first, last, net.gate, net.out).log_softmax(-1)[0].numpy()
        hurts = net.odds(x, one, first, torch.tensor([5]), net.danger_gate, net.danger).softmax(-1)[0].numpy()
        begins = net.begin(x).squeeze().numpy()
    glance: Glance = school._kept(net, list("abcdefg"), [SAFE, "alarm:a", "hazard:b"], marks, pieces)
    seen = glance.see(places)
    assert np.allclose(seen.odds(0, 5), wanted, atol=0.02) and np.allclose(seen.begins, begins, atol=0.02)
    assert np.allclose([dict(seen.hurts())[name] for name in glance.dangers], hurts, atol=0.02)


def test_a_slip_of_the_hand_changes_no_more_than_two_letters() -> None:
    """Damerau's four slips (CACM 7(3), 1964): a letter left out, one too many, another, or two changed about; digits and short words stay."""
    pytest.importorskip("torch")
    from rapidfuzz.distance import OSA

    from bot.understanding.glance_rows import slipped

    order = random.Random(4)
    made = [slipped("courgettes", order) for _ in range(300)]
    assert all(OSA.distance("courgettes", slip) <= 2 for slip in made)
    assert len(set(made)) > 20 and {len(slip) for slip in made} == {9, 10, 11}
    assert [slipped(word, order) for word in ("bed", "3.5 kg", "2026")] == ["bed", "3.5 kg", "2026"]
