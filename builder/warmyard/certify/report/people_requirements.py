"""What shows the requirements on scheme, roles, decisions and certificates."""

from __future__ import annotations

import json
from datetime import date, timedelta

from warmyard.certify.credential.certificate import read_credential
from warmyard.certify.credential.status import list_in, open_status_list
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Appeal, Certificate, Decision, Evidence, Observation, Sitting
from warmyard.certify.ledger.canonical import canonical_bytes
from warmyard.certify.ledger.folders import CERTIFICATES, STATUS
from warmyard.certify.ledger.people import people_with
from warmyard.certify.ledger.state import Fact
from warmyard.certify.report.requirement import Finding, Looked, Probe, cannot, found, numbers
from warmyard.certify.rules.conflict import conflicts_of, taught_by
from warmyard.certify.rules.dates import add_months
from warmyard.certify.rules.interest import declaration, has_declared
from warmyard.certify.rules.judge import evidence_on, open_conflict, refusal_of, standing
from warmyard.certify.rules.standing import grants_of
from warmyard.course.scheme import check_scheme
from warmyard.course.scheme_shape import SURVEILLANCE
from warmyard.errors import VerificationError
from warmyard.formats.handed_out import Credential1
from warmyard.words.sentence import sentence

FEWEST_JUDGES = 5
DUE_WITHIN = timedelta(days=90)


def _scheme_named(looked: Looked) -> Finding:
    state, grants = looked.state, looked.decisions("grant")
    adopted = {fact.body.digest for fact in state.adopted}
    wrong = [fact for fact in grants if fact.body.scheme not in adopted]
    if not state.adopted:
        return found(False, grants=len(grants), schemes=0, wrong=len(wrong))
    last = state.adopted[-1]
    return found(
        not wrong, grants=len(grants), schemes=len(adopted), wrong=len(wrong), scheme=last.body.scheme,
        version=last.body.version, entry=last.entry.number, digest=envelope.grouped(last.body.digest[:16]),
    )  # fmt: skip


def _scheme_complete(looked: Looked) -> Finding:
    scheme, sources = looked.state.scheme_now(), looked.workspace
    if scheme is None:
        return found(False, faults=1, first=sentence("requirement.no_scheme"))
    faults = check_scheme(scheme, sources.skills, sources.stations, sources.items)
    return found(
        not faults, faults=len(faults), first=faults[0].what if faults else "", levels=len(scheme.levels),
        activities=len(scheme.activities), reasons=len(scheme.reasons),
    )  # fmt: skip


def _job_analysis(looked: Looked) -> Finding:
    sources, scheme = looked.workspace, looked.state.scheme_now() or looked.workspace.scheme
    asked = {item.skill for item in sources.items.values()}
    asked.update(skill for station in sources.stations.values() for skill in station.skills)
    orphans = sorted(set(sources.skills) - asked)
    return found(
        not orphans, on=scheme.job_analysis_on, duties=len(sources.duties), skills=len(sources.skills),
        items=len(sources.items), stations=len(sources.stations), orphans=len(orphans), first=", ".join(orphans[:3]),
    )  # fmt: skip


def _prerequisites(looked: Looked) -> Finding:
    grants = looked.decisions("grant")
    rests = {number for grant in grants for number in grant.body.evidence}
    wrong = [grant for grant in grants if not _has_prerequisites(looked, grant)]
    evidence = sum(isinstance(looked.state.by_number[number].body, Evidence) for number in rests)
    return found(not wrong, grants=len(grants), evidence=evidence, wrong=len(wrong))


def _has_prerequisites(looked: Looked, grant: Fact[Decision]) -> bool:
    """Say whether every prerequisite was met from the place of the grant, and is among what it rests on."""
    level = looked.level(grant.body.scheme, grant.body.level)
    if level is None:
        return False
    place, begins = looked.state.view().before(grant.entry.number), grant.entry.counts_from(restricts=False)
    there = evidence_on(place, level, grant.entry.person, begins).prerequisites
    return all(not each.missing and set(each.counted) <= set(grant.body.evidence) for each in there)


def _identity(looked: Looked) -> Finding:
    sittings = list(looked.facts(Sitting))
    without = [fact for fact in sittings if not fact.body.invigilator]
    if not sittings:
        return cannot(sittings=0, without=0)
    return found(not without, sittings=len(sittings), without=len(without))


def _roles_apart(looked: Looked) -> Finding:
    months = _conflict_months(looked)
    seen = list(looked.facts(Observation))
    wrong = [fact for fact in seen if any(_trained(looked, fact, observer, months) for observer in fact.body.observers)]
    return found(not wrong, observations=len(seen), wrong=len(wrong), months=months, entries=numbers(wrong))


def _conflict_months(looked: Looked) -> int:
    return (looked.state.scheme_now() or looked.workspace.scheme).conflict_months


def _trained(looked: Looked, seen: Fact[Observation], observer: str, months: int) -> bool:
    day, candidate = seen.entry.effective_on, seen.entry.person
    taught = taught_by(looked.state, observer, candidate, add_months(day, -months), day)
    return any(fact.body.what != SURVEILLANCE for fact in taught)


def _decider_apart(looked: Looked) -> Finding:
    decisions = looked.decisions()
    giving = [fact for fact in decisions if fact.body.action in ("grant", "restore")]
    wrong = [fact for fact in giving if open_conflict(looked.state, fact)]
    in_conflict = [fact for fact in giving if conflicts_of(looked.state, fact, _conflict_months(looked))]
    waived = sum(fact not in wrong for fact in in_conflict)
    return found(not wrong, decisions=len(decisions), waived=waived, wrong=len(wrong), entries=numbers(wrong))


def _interests_declared(looked: Looked) -> Finding:
    state, months = looked.state, (looked.state.scheme_now() or looked.workspace.scheme).declare_months
    people = sorted({*people_with(state, "examiner"), *people_with(state, "decider")})
    missing = [person for person in people if not has_declared(state, person, looked.on, months)]
    held = [declaration(state, person, looked.on) for person in people]
    return found(
        bool(people) and not missing, people=len(people), months=months, missing=len(missing),
        first=", ".join(missing[:3]) or sentence("requirement.none"),
        interests=sum(len(fact.body.about) for fact in held if fact),
    )  # fmt: skip


def _examiners_able(looked: Looked) -> Finding:
    examiners = people_with(looked.state, "examiner")
    certified = [person for person in examiners if _holds_any(looked, person)]
    return found(
        bool(examiners) and len(certified) == len(examiners), examiners=len(examiners), certified=len(certified),
        pairs=looked.measured.pairs, kappa=looked.measured.kappa or sentence("requirement.nothing"),
    )  # fmt: skip


def _holds_any(looked: Looked, person: str) -> bool:
    return any(not standing(looked.state, grant, looked.on).why_not for grant in grants_of(looked.state, person))


def _cut_grounded(looked: Looked) -> Finding:
    scheme = looked.state.scheme_now() or looked.workspace.scheme
    cuts = [part.cut for level in scheme.levels for part in level.parts]
    set_ones = [cut for cut in cuts if cut is not None]
    provisional = sum(cut.provisional for cut in set_ones)
    few = sum(cut.judges < FEWEST_JUDGES for cut in set_ones)
    missing = sum(cut is None or not (cut.method and cut.adopted_by and cut.standard_error > 0) for cut in cuts)
    return found(
        not (provisional or few or missing), cuts=len(cuts), provisional=provisional, few=few, missing=missing,
        judges=min((cut.judges for cut in set_ones), default=0),
    )  # fmt: skip


def _certificate_complete(looked: Looked) -> Finding:
    given: dict[str, Fact[Certificate]] = {fact.body.certificate: fact for fact in looked.facts(Certificate)}
    gone = {name for name, fact in given.items() if looked.state.people[fact.entry.person].erased}
    read, wrong = 0, 0
    for name, fact in given.items():
        if name in gone:
            continue
        try:
            credential = json.loads((CERTIFICATES.at(looked.records) / f"{name}.json").read_bytes())
            is_given = envelope.digest(canonical_bytes(credential)) == fact.body.credential
            is_whole = is_given and _says_all(read_credential(credential))
        except (OSError, ValueError, VerificationError):
            wrong += 1
            continue
        read += 1
        wrong += not is_whole
    if not given:
        return cannot(certificates=0, read=0, wrong=0)
    return found(not wrong, certificates=len(given), read=read, wrong=wrong)


def _says_all(credential: Credential1) -> bool:
    """Say whether nothing is empty that a certificate must say."""
    subject = credential.credentialSubject
    kinds = {identity.identityType for identity in subject.identifier}
    return "name" in kinds and all(
        (subject.licenseNumber, credential.issuer.name, subject.achievement.version, subject.achievement.description,
         credential.validFrom, credential.validUntil)
    )  # fmt: skip


def _status_public(looked: Looked) -> Finding:
    office = looked.state.keys[looked.state.office]
    try:
        text = (STATUS.at(looked.records) / "status.js").read_text(encoding="utf-8")
        said = open_status_list(list_in(text), {office.id: office.public})
    except OSError:
        return found(False, problem=sentence("requirement.no_status"))
    except (VerificationError, UnicodeDecodeError):
        return found(False, problem=sentence("requirement.status_forged"))
    if not date.fromisoformat(said.d) <= looked.on <= date.fromisoformat(said.e):
        return found(False, problem=sentence("requirement.status_old", day=said.d, until=said.e))
    return found(True, day=said.d, until=said.e, suspended=len(said.s), withdrawn=len(said.w))


def _restrictions(looked: Looked) -> Finding:
    decisions = looked.decisions("suspend", "withdraw", "restore")
    count = {action: sum(fact.body.action == action for fact in decisions) for action in ("suspend", "withdraw")}
    wrong = [fact for fact in decisions if _refused_for(looked, fact, "reason")]
    return found(
        not wrong, suspended=count["suspend"], withdrawn=count["withdraw"], wrong=len(wrong), all=len(decisions),
        restored=len(decisions) - sum(count.values()),
    )  # fmt: skip


def _refused_for(looked: Looked, decision: Fact[Decision], *kinds: str) -> bool:
    refusal = refusal_of(looked.state, decision)
    return refusal is not None and refusal.kind in kinds


def _renewal_earned(looked: Looked) -> Finding:
    grants = looked.decisions("grant")
    held: set[tuple[str, int]] = set()
    renewals, wrong = 0, 0
    for grant in grants:
        whose = (grant.entry.person, grant.body.level)
        if whose in held:
            renewals += 1
            wrong += _refused_for(looked, grant, "examination", "evidence")
        held.add(whose)
    untils = [date.fromisoformat(grant.body.until) for grant in grants]
    return found(
        not wrong, grants=len(grants), renewals=renewals, wrong=wrong, expired=sum(day < looked.on for day in untils),
        due=sum(looked.on <= day <= looked.on + DUE_WITHIN for day in untils),
    )  # fmt: skip


def _appeals_and_records(looked: Looked) -> Finding:
    scheme, appeals = looked.state.scheme_now() or looked.workspace.scheme, list(looked.facts(Appeal))
    ended = {fact.body.decision: fact.entry.effective_on for fact in appeals if fact.body.stage != "lodged"}
    lodged = {fact.body.decision: fact.entry.effective_on for fact in appeals if fact.body.stage == "lodged"}
    allowed = timedelta(days=scheme.appeals.decided_within_days)
    late = sum(ended.get(decision, looked.on) - day > allowed for decision, day in lodged.items())
    return found(
        not late, lodged=len(lodged), decided=len(ended), late=late, entries=looked.state.count,
        signed=looked.state.count, erased=sum(member.erased for member in looked.state.people.values()),
    )  # fmt: skip


PEOPLE_PROBES: dict[str, Probe] = {
    "scheme-named": _scheme_named,
    "scheme-complete": _scheme_complete,
    "job-analysis": _job_analysis,
    "prerequisites": _prerequisites,
    "identity": _identity,
    "roles-apart": _roles_apart,
    "decider-apart": _decider_apart,
    "interests-declared": _interests_declared,
    "examiners-able": _examiners_able,
    "cut-grounded": _cut_grounded,
    "certificate-complete": _certificate_complete,
    "status-public": _status_public,
    "restrictions": _restrictions,
    "renewal-earned": _renewal_earned,
    "appeals-and-records": _appeals_and_records,
}
