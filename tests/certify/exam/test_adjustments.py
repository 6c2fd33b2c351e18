"""Adjustments and exposure: extra time and reading aloud are recorded, no cell changes; least exposed first."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path

import msgspec
import pytest
from demo_records import Demo

from warmyard.certify.acts.paper import issue_paper
from warmyard.certify.exam.adjustments import Adjustments, verify_adjustments
from warmyard.certify.exam.blueprint import draw_part
from warmyard.certify.exam.paper import Request, exposure_of
from warmyard.certify.ledger.admission import place_entry
from warmyard.certify.ledger.bodies import Paper
from warmyard.certify.ledger.entry import make_entry
from warmyard.certify.ledger.side_files import read_side
from warmyard.cli.main import main
from warmyard.course.scheme import check_scheme
from warmyard.course.workspace import Workspace
from warmyard.errors import InputError, VerificationError
from warmyard.item.chance import chance_for, start_of

MORE = Adjustments(extra_time_percent=25, read_aloud=True, because="reads slowly", approved_by="odile")


def issue(demo: Demo, workspace: Workspace, adjustments: Adjustments) -> Paper:
    """Issue a paper for a new candidate and return its entry's body."""
    desk = demo.desk()
    level = workspace.scheme.levels[0]
    request = Request(
        person="milo", level=level, part=level.parts[0], scheme=workspace.scheme, now=desk.now,
        adjustments=adjustments,
    )  # fmt: skip
    issued = issue_paper(desk, workspace, request)
    return demo.open()[1].papers[issued.paper].body


def test_extra_time_is_in_entry_page_and_slip(demo: Demo, small_workspace: Workspace) -> None:
    """A quarter more of 25 minutes is 32, rounded up; who approved stands in the entry, why in a side file only."""
    body = issue(demo, small_workspace, MORE)
    assert (body.adjustments, body.approved_by, body.minutes) == (("extra-time:25", "read-aloud"), "odile", 32)
    assert read_side(demo.records, "milo", body.side) == {"because": "reads slowly"}
    page = (demo.records / "papers" / f"{body.paper}.html").read_text("utf-8")
    assert '"minutes":32,' in page
    assert "Extra time 25 %: 32 minutes instead of 25" in page
    slip = (demo.records / "papers" / f"{body.paper}.slip.txt").read_text("utf-8")
    assert "time 32 minutes" in slip
    assert "read aloud" in slip
    assert "by odile" in slip
    assert "reads slowly" not in page + slip


def test_an_adjustment_leaves_no_item_out(demo: Demo, small_workspace: Workspace) -> None:
    """An adjusted paper fills every cell of the blueprint, with all its critical items."""
    body = issue(demo, small_workspace, MORE)
    part = small_workspace.scheme.levels[0].parts[0]
    items = [small_workspace.items[name] for name in body.items]
    assert len(items) == sum(row.count for row in part.blueprint)
    assert sum(item.critical for item in items) == part.critical_items


def test_a_plain_paper_says_nothing_of_adjustments(demo: Demo, small_workspace: Workspace) -> None:
    """Without an adjustment the entry has no such field, and the slip no such line."""
    body = issue(demo, small_workspace, Adjustments())
    assert not {"adjustments", "approved_by", "side"} & set(msgspec.to_builtins(body))
    assert "Adjusted" not in (demo.records / "papers" / f"{body.paper}.slip.txt").read_text("utf-8")


@pytest.mark.parametrize(
    ("wanted", "said"),
    [
        (Adjustments(extra_time_percent=25, because="x"), "--approved-by"),
        (Adjustments(extra_time_percent=25, approved_by="odile"), "--because"),
        (Adjustments(extra_time_percent=4, because="x", approved_by="odile"), "5 to 100 %"),
        (Adjustments(extra_time_percent=-25, because="x", approved_by="odile"), "5 to 100 %"),
        (Adjustments(read_aloud=True, because="x", approved_by="milo"), "for himself or herself"),
        (Adjustments(read_aloud=True, because="x", approved_by="tova"), "neither custodian nor decider"),
        (Adjustments(read_aloud=True, because="x", approved_by="zoe"), "enter the person first"),
        (Adjustments(because="x"), "nothing to approve"),
    ],
)
def test_an_adjustment_that_nobody_may_approve(demo: Demo, wanted: Adjustments, said: str) -> None:
    """Extra time needs a share, a reason, and somebody else who may approve it."""
    with pytest.raises(InputError, match=said):
        verify_adjustments(demo.open()[1], "milo", wanted)


def test_an_adjusted_paper_without_approval_is_no_entry(demo: Demo, small_workspace: Workspace) -> None:
    """The ledger itself refuses an adjusted paper that nobody, or the candidate, approved."""
    body = issue(demo, small_workspace, MORE)
    _, state = demo.open()
    for approver in ("", "milo"):
        forged = msgspec.structs.replace(body, paper="paper-forged", approved_by=approver)
        entry = make_entry(
            number=state.count + 1, previous=state.tip, recorded_at=demo.made, effective_on=demo.made.date(),
            kind="paper", person="milo", body=msgspec.to_builtins(forged), signer=demo.key("office"),
        )  # fmt: skip
        with pytest.raises(VerificationError, match="nobody else approved"):
            place_entry(state, entry)


def test_the_command_takes_adjustments(demo: Demo, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """`paper --extra-time` issues an adjusted paper, refuses one without approval, and refuses it for a form."""
    words = ["paper", "--level", "2", "--person", "milo", "--records", str(demo.records), "--extra-time", "25"]
    assert main(words) == 2
    assert main([*words, "--because", "asked for it", "--station", "power-fuel-start-stop"]) == 2
    capsys.readouterr()
    assert main([*words, "--because", "asked for it", "--approved-by", "odile"]) == 0
    assert [paper.body.minutes for paper in demo.open()[1].of("milo", Paper)] == [32]
    assert not list(tmp_path.glob("*.html"))


# ---- Exposure ------------------------------------------------------------------------------------------------------


def draw(workspace: Workspace, seed: int, exposure: dict[str, int], limit: int | None = None) -> list[str]:
    """Return the ids of a drawn paper."""
    part = workspace.scheme.levels[0].parts[0]
    chance = chance_for(start_of("blueprint"), seed)
    return [item.id for item in draw_part(part, workspace.skills, workspace.items, chance, exposure, limit=limit)]


def test_the_same_seed_and_exposure_draw_the_same(small_workspace: Workspace) -> None:
    """A paper can be drawn again; other exposure draws another one."""
    first = draw(small_workspace, 7, {})
    assert draw(small_workspace, 7, {}) == first
    assert draw(small_workspace, 7, dict.fromkeys(first, 1)) != first


def test_drawing_by_exposure_spreads_items(small_workspace: Workspace) -> None:
    """Twenty papers drawn with their exposure never use one item as often as twenty drawn without."""
    blind: Counter[str] = Counter(name for seed in range(20) for name in draw(small_workspace, seed, {}))
    spread: Counter[str] = Counter()
    for seed in range(20):
        spread.update(draw(small_workspace, seed, dict(spread)))
    assert len(spread) > len(blind)
    assert spread.most_common(1)[0][1] <= blind.most_common(1)[0][1]
    assert spread.total() == blind.total()


def test_an_item_at_the_limit_is_retired(small_workspace: Workspace) -> None:
    """No paper holds an item that stood in as many papers as the scheme allows; a spent bank is named as such."""
    spent = dict.fromkeys(draw(small_workspace, 7, {}), 3)
    assert not set(draw(small_workspace, 7, spent, 3)) & set(spent)
    with pytest.raises(InputError, match="items that were in 3 papers already"):
        draw(small_workspace, 7, dict.fromkeys(small_workspace.items, 3), 3)


def test_papers_count_towards_exposure_and_figures_print_it(
    demo: Demo, small_workspace: Workspace, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every item of an issued paper counts once more, and `figures` says how often each was given out."""
    before = exposure_of(demo.open()[1])
    body = issue(demo, small_workspace, Adjustments())
    after = exposure_of(demo.open()[1])
    assert after - before == Counter(body.items)
    assert main(["figures", "--json", "--records", str(demo.records)]) == 0
    said = {item["id"]: item["given_out"] for item in json.loads(capsys.readouterr().out)["items"]}
    assert all(after[name] == count for name, count in said.items())


def test_a_limit_that_lets_nothing_be_asked_is_a_fault(small_workspace: Workspace) -> None:
    """A scheme's exposure limit is one paper at least."""
    scheme = msgspec.structs.replace(small_workspace.scheme, exposure_limit=0)
    faults = check_scheme(scheme, small_workspace.skills, small_workspace.stations, small_workspace.items)
    assert [fault.what for fault in faults] == ["a limit that lets no item be asked"]
