"""What a page carries of its items: packed once, unpacked as it was; a question never holds its key."""

from __future__ import annotations

import json
from pathlib import Path

import msgspec
import pytest
import quickjs

from warmyard.course.workspace import Workspace, read_workspace
from warmyard.item.render import assessment_html, practice_html, question_html
from warmyard.page.javascript import runtime_text
from warmyard.page.payload import pack_variants, payload_of, practice_variants


@pytest.fixture(scope="module")
def yard(workspace_root: Path) -> Workspace:
    """Give the small yard."""
    return read_workspace(workspace_root / "tests" / "small_yard")


def test_what_is_packed_comes_out_as_it_was(yard: Workspace) -> None:
    """wy.js unpacks every variant of every kind to what Python made, shared texts put back."""
    variants = {name: practice_variants(item, yard.surroundings) for name, item in yard.items.items()}
    context = quickjs.Context()
    context.eval(runtime_text("wy.js"))
    context.eval(payload_of(pack_variants(name, drawn) for name, drawn in variants.items()))
    for name in yard.items:
        found = json.loads(context.eval(f"JSON.stringify(WY.variants({json.dumps(name)}))"))
        assert found == json.loads(msgspec.json.encode(variants[name]))


def test_a_page_gets_twenty_variants_where_numbers_change(yard: Workspace) -> None:
    """A numeric item and a reading come with twenty different questions each."""
    for name in ("q-bund", "q-gauge"):
        variants = practice_variants(yard.items[name], yard.surroundings)
        assert len(variants) == 20
        assert len({v.question.ask + v.question.drawing for v in variants}) > 8


def test_a_payload_cannot_end_its_script_element(yard: Workspace) -> None:
    """No </script> and no <!-- of an item's text survives as such in the script."""
    variant = practice_variants(yard.items["q-run-on"], yard.surroundings)[0]
    evil = msgspec.structs.replace(variant.question, ask="</script><!-- x")
    text = payload_of([pack_variants("q-run-on", [msgspec.structs.replace(variant, question=evil)])])
    assert "</script" not in text
    assert "<!--" not in text


def test_a_static_question_is_escaped_and_holds_no_key(yard: Workspace) -> None:
    """The HTML that needs no scripts shows question and options, escapes their text, and has no reason or mark."""
    for name, item in yard.items.items():
        variant = practice_variants(item, yard.surroundings)[0]
        html = question_html(variant.question)
        assert f'<wy-item item="{name}" data-skill="' in html
        key = msgspec.to_builtins(variant.key)
        assert not any(why and why in html for why in key.get("why", {}).values())
    choice = practice_variants(yard.items["q-alarm"], yard.surroundings)[0].question
    assert "&lt;b&gt;x" in question_html(msgspec.structs.replace(choice, ask="<b>x"))


def test_sets_name_their_lesson_and_say_what_to_do_without_scripts(yard: Workspace) -> None:
    """Practice and assessment frames hold their questions; without scripts they say what to do."""
    question = practice_variants(yard.items["q-alarm"], yard.surroundings)[0].question
    assert "<noscript>" in practice_html("P & Q", [question])
    assert "P &amp; Q" in practice_html("P & Q", [question])
    html = assessment_html("L13", "Filter", [question, question])
    assert html.startswith('<wy-assessment assessment="L13" heading="Filter">')
    assert html.count("<wy-item") == 2
