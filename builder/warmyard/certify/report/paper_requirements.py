"""What shows the requirements on papers, sittings, items and figures."""

from __future__ import annotations

from collections import Counter, defaultdict
from datetime import timedelta

from warmyard.certify.exam.blueprint import expected_share
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Irregularity, Paper, Sitting, Void
from warmyard.certify.ledger.folders import PAPERS
from warmyard.certify.ledger.state import Fact
from warmyard.certify.report.requirement import Finding, Looked, Probe, cannot, found, numbers
from warmyard.words.sentence import sentence

ENOUGH_SITTINGS = 30


def _blueprint(looked: Looked) -> Finding:
    papers = list(looked.state.papers.values())
    gone = [paper for paper in papers if not set(paper.body.items) <= looked.workspace.items.keys()]
    wrong = [paper for paper in papers if paper not in gone and not _meets_blueprint(looked, paper)]
    if not papers:
        return cannot(papers=0, wrong=0, gone=0)
    return found(not wrong and not gone, papers=len(papers), wrong=len(wrong), gone=len(gone))


def _meets_blueprint(looked: Looked, paper: Fact[Paper]) -> bool:
    part = looked.part(paper.body.scheme, paper.body.level, paper.body.part)
    if part is None:
        return False
    items = [looked.workspace.items[name] for name in paper.body.items]
    has = Counter((looked.workspace.skills[item.skill].duty, item.demand) for item in items)
    wants: Counter[tuple[str, str]] = Counter()
    for row in part.blueprint:
        wants[row.duty, row.demand] += row.count
    return has == wants and sum(item.critical for item in items) == part.critical_items


def _critical(looked: Looked) -> Finding:
    sittings = list(looked.facts(Sitting))
    missed = [fact for fact in sittings if fact.body.critical_missed]
    wrong = [fact for fact in missed if fact.body.passed]
    stations = [each for each in looked.workspace.stations.values() if any(point.critical for point in each.points)]
    return found(
        not wrong, sittings=len(sittings), missed=len(missed), wrong=len(wrong), stations=len(stations)
    )  # fmt: skip


def _consistency(looked: Looked) -> Finding:
    measured = looked.measured
    if not measured.groups:
        return cannot()
    small = "" if measured.most_sittings >= ENOUGH_SITTINGS else sentence("requirement.small")
    return found(True, groups=measured.groups, n=measured.most_sittings, small=small)


def _score_with_error(looked: Looked) -> Finding:
    """Look whether the evidence page can put an error beside every score: the cut of its part has one."""
    sittings = list(looked.facts(Sitting))
    if not sittings:
        return cannot(near=0, sittings=0, without=0, entries=numbers([]))
    without = [fact for fact in sittings if not _has_error(looked, fact)]
    return found(
        not without,
        near=looked.measured.near_cut,
        sittings=len(sittings),
        without=len(without),
        entries=numbers(without),
    )


def _has_error(looked: Looked, sitting: Fact[Sitting]) -> bool:
    scheme = looked.state.papers[sitting.body.paper].body.scheme
    part = looked.part(scheme, sitting.body.level, sitting.body.part)
    return part is not None and part.cut is not None and part.cut.standard_error > 0


def _false_decisions(looked: Looked) -> Finding:
    measured = looked.measured
    if not measured.groups:
        return cannot()
    return found(True, groups=measured.groups, share=measured.share_percent, passes=measured.passes_percent)


def _item_figures(looked: Looked) -> Finding:
    measured = looked.measured
    return found(
        not measured.flagged and measured.items > 0, items=measured.items, flagged=measured.flagged,
        n=measured.most_answers,
    )  # fmt: skip


def _forms_parallel(looked: Looked) -> Finding:
    """Compare the papers of each part by the shares that just-able candidates are expected to reach."""
    shares: dict[tuple[str, int, str], list[float]] = defaultdict(list)
    unknown = 0
    for paper in looked.state.papers.values():
        items = [looked.workspace.items.get(name) for name in paper.body.items]
        known = [item for item in items if item is not None and item.expected_percent is not None]
        if len(known) < len(items):
            unknown += 1
        else:
            shares[paper.body.scheme, paper.body.level, paper.body.part].append(expected_share(known))
    papers = sum(map(len, shares.values()))
    allowed = (looked.state.scheme_now() or looked.workspace.scheme).parallel_percent
    if not papers or allowed is None:
        return cannot(papers=papers, unknown=unknown)
    widest = max(max(each) - min(each) for each in shares.values())
    return found(
        not unknown and widest <= allowed + 1e-9, papers=papers, unknown=unknown, kinds=len(shares),
        widest=f"{widest:.2f}", allowed=f"{allowed:g}",
    )  # fmt: skip


def _adjustments(looked: Looked) -> Finding:
    papers = list(looked.state.papers.values())
    adjusted = [paper for paper in papers if paper.body.adjustments]
    wrong = [paper for paper in adjusted if not paper.body.approved_by]
    return found(not wrong, papers=len(papers), adjusted=len(adjusted), wrong=len(wrong))


def _security(looked: Looked) -> Finding:
    pages, changed = 0, 0
    for name, paper in looked.state.papers.items():
        if looked.state.people[paper.entry.person].erased:
            continue
        try:
            data = (PAPERS.at(looked.records) / f"{name}.html").read_bytes()
        except OSError:
            continue  # handed over and deleted here is no leak
        pages += 1
        changed += envelope.digest(data) != paper.body.page
    exposed = Counter(item for paper in looked.state.papers.values() for item in paper.body.items)
    most = max(exposed.values(), default=0)
    limit = (looked.state.scheme_now() or looked.workspace.scheme).exposure_limit
    return found(
        not changed and limit is not None and most <= limit, pages=pages, changed=changed, items=len(exposed),
        most=most, limit=sentence("requirement.none") if limit is None else limit,
    )  # fmt: skip


def _irregularities(looked: Looked) -> Finding:
    return found(True, irregularities=len(list(looked.facts(Irregularity))), voids=len(list(looked.facts(Void))))


def _re_sits(looked: Looked) -> Finding:
    series: dict[tuple[str, int, str], list[Fact[Paper]]] = {}
    for paper in looked.state.papers.values():
        series.setdefault((paper.entry.person, paper.body.level, paper.body.part), []).append(paper)
    wrong = [later for papers in series.values() for later in papers[1:] if not _waited(looked, papers, later)]
    return found(
        not wrong, papers=len(looked.state.papers), people=len({whose[0] for whose in series}), wrong=len(wrong),
        most=max((len(papers) for papers in series.values()), default=0), entries=numbers(wrong),
    )  # fmt: skip


def _waited(looked: Looked, papers: list[Fact[Paper]], later: Fact[Paper]) -> bool:
    """Say whether a later paper has other questions, and came after the wait from every sitting that failed."""
    level = looked.level(later.body.scheme, later.body.level)
    if level is None:
        return False
    earlier = [paper for paper in papers if paper.entry.number < later.entry.number]
    if any(paper.body.questions == later.body.questions for paper in earlier):
        return False
    wait = timedelta(days=level.re_sit.wait_days)
    sittings = [
        looked.state.sittings[paper.body.paper] for paper in earlier if paper.body.paper in looked.state.sittings
    ]
    failed = [each for each in sittings if not each.body.passed and each.entry.number not in looked.state.voided]
    return all(each.entry.recorded_at.date() + wait <= later.entry.recorded_at.date() for each in failed)


PAPER_PROBES: dict[str, Probe] = {
    "blueprint": _blueprint,
    "critical-never-compensated": _critical,
    "consistency-reported": _consistency,
    "score-with-error": _score_with_error,
    "false-decisions-stated": _false_decisions,
    "item-figures": _item_figures,
    "forms-parallel": _forms_parallel,
    "adjustments": _adjustments,
    "security": _security,
    "irregularities": _irregularities,
    "re-sits": _re_sits,
}
