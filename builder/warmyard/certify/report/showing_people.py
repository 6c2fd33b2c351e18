"""What shows the requirements on scheme, roles, decisions and certificates."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from warmyard.certify.credential.status import open_status_list
from warmyard.certify.ledger import envelope
from warmyard.certify.ledger.bodies import Appeal, Certificate, Decision, Evidence, Observation, Sitting
from warmyard.certify.ledger.canonical import canonical_bytes
from warmyard.certify.ledger.people import people_with
from warmyard.certify.ledger.sides import CERTIFICATES, STATUS
from warmyard.certify.ledger.state import Fact
from warmyard.certify.report.showing import Desk, Finding, Probe, cannot, found, numbers
from warmyard.certify.rules.conflict import conflicts_of, waiver_for
from warmyard.certify.rules.dates import add_months
from warmyard.certify.rules.interest import declaration, has_declared
from warmyard.certify.rules.standing import grants_of, standing
from warmyard.course.scheme import check_scheme
from warmyard.course.scheme_shape import SURVEILLANCE
from warmyard.errors import VerificationError

FEWEST_JUDGES = 5
DUE_WITHIN = timedelta(days=90)


def _scheme_named(desk: Desk) -> Finding:
    state, grants = desk.state, desk.decisions("grant")
    adopted = {fact.body.digest for fact in state.adopted}
    wrong = [fact for fact in grants if fact.body.scheme not in adopted]
    if not state.adopted:
        return found(False, grants=len(grants), schemes=0, wrong=len(wrong))
    last = state.adopted[-1]
    return found(
        not wrong, grants=len(grants), schemes=len(adopted), wrong=len(wrong), scheme=last.body.scheme,
        version=last.body.version, entry=last.entry.number, digest=envelope.grouped(last.body.digest[:16]),
    )  # fmt: skip


def _scheme_complete(desk: Desk) -> Finding:
    scheme, sources = desk.state.scheme_now(), desk.workspace
    if scheme is None:
        return found(False, faults=1, first="no scheme is adopted")
    faults = check_scheme(scheme, sources.skills, sources.stations, sources.items)
    return found(
        not faults, faults=len(faults), first=faults[0].what if faults else "", levels=len(scheme.levels),
        activities=len(scheme.activities), reasons=len(scheme.reasons),
    )  # fmt: skip


def _job_analysis(desk: Desk) -> Finding:
    sources, scheme = desk.workspace, desk.state.scheme_now() or desk.workspace.scheme
    asked = {item.skill for item in sources.items.values()}
    asked.update(skill for station in sources.stations.values() for skill in station.skills)
    orphans = sorted(set(sources.skills) - asked)
    return found(
        not orphans, on=scheme.job_analysis_on, duties=len(sources.duties), skills=len(sources.skills),
        items=len(sources.items), stations=len(sources.stations), orphans=len(orphans), first=", ".join(orphans[:3]),
    )  # fmt: skip


def _prerequisites(desk: Desk) -> Finding:
    grants = desk.decisions("grant")
    rests = {number for grant in grants for number in grant.body.evidence}
    wrong = [grant for grant in grants if not _has_prerequisites(desk, grant)]
    evidence = sum(isinstance(desk.state.by_number[number].body, Evidence) for number in rests)
    return found(not wrong, grants=len(grants), evidence=evidence, wrong=len(wrong))


def _has_prerequisites(desk: Desk, grant: Fact[Decision]) -> bool:
    level = desk.level(grant.body.scheme, grant.body.level)
    bodies = [desk.state.by_number[number].body for number in grant.body.evidence]
    counted: dict[str, int] = {}
    for body in bodies:
        if isinstance(body, Evidence):
            counted[body.what] = counted.get(body.what, 0) + body.count
    return level is not None and all(
        wanted.id.startswith("level-") or counted.get(wanted.id, 0) >= wanted.count for wanted in level.prerequisites
    )


def _identity(desk: Desk) -> Finding:
    sittings = list(desk.facts(Sitting))
    without = [fact for fact in sittings if not fact.body.invigilator]
    if not sittings:
        return cannot(sittings=0, without=0)
    return found(not without, sittings=len(sittings), without=len(without))


def _roles_apart(desk: Desk) -> Finding:
    months = _conflict_months(desk)
    seen = list(desk.facts(Observation))
    wrong = [fact for fact in seen if any(_trained(desk, fact, observer, months) for observer in fact.body.observers)]
    return found(not wrong, observations=len(seen), wrong=len(wrong), months=months, entries=numbers(wrong))


def _conflict_months(desk: Desk) -> int:
    return (desk.state.scheme_now() or desk.workspace.scheme).conflict_months


def _trained(desk: Desk, seen: Fact[Observation], observer: str, months: int) -> bool:
    day = seen.entry.effective_on
    return any(
        fact.body.what != SURVEILLANCE
        and add_months(day, -months) <= fact.entry.effective_on <= day
        and observer in (fact.body.by, *fact.body.trained_by)
        for fact in desk.state.of(seen.entry.person, Evidence)
    )


def _decider_apart(desk: Desk) -> Finding:
    state, decisions = desk.state, desk.decisions()
    wrong, waived = [], 0
    for fact in decisions:
        person, body = fact.entry.person, fact.body
        reasons = conflicts_of(state, fact, _conflict_months(desk))
        if body.action not in ("grant", "restore") or not reasons:
            continue
        if waiver_for(state, body.decider, person, body.level, reasons, fact.entry.number):
            waived += 1
        else:
            wrong.append(fact)
    return found(not wrong, decisions=len(decisions), waived=waived, wrong=len(wrong), entries=numbers(wrong))


def _interests_declared(desk: Desk) -> Finding:
    state, months = desk.state, (desk.state.scheme_now() or desk.workspace.scheme).declare_months
    people = sorted({*people_with(state, "examiner"), *people_with(state, "decider")})
    missing = [person for person in people if not has_declared(state, person, desk.on, months)]
    held = [declaration(state, person, desk.on) for person in people]
    return found(
        bool(people) and not missing, people=len(people), months=months, missing=len(missing),
        first=", ".join(missing[:3]) or "none", interests=sum(len(fact.body.about) for fact in held if fact),
    )  # fmt: skip


def _examiners_able(desk: Desk) -> Finding:
    examiners = people_with(desk.state, "examiner")
    certified = [person for person in examiners if _holds_any(desk, person)]
    return found(
        bool(examiners) and len(certified) == len(examiners), examiners=len(examiners), certified=len(certified),
        pairs=desk.measured.pairs, kappa=desk.measured.kappa,
    )  # fmt: skip


def _holds_any(desk: Desk, person: str) -> bool:
    return any(not standing(desk.state, grant, desk.on).why_not for grant in grants_of(desk.state, person))


def _cut_grounded(desk: Desk) -> Finding:
    scheme = desk.state.scheme_now() or desk.workspace.scheme
    cuts = [part.cut for level in scheme.levels for part in level.parts]
    set_ones = [cut for cut in cuts if cut is not None]
    provisional = sum(cut.provisional for cut in set_ones)
    few = sum(cut.judges < FEWEST_JUDGES for cut in set_ones)
    missing = sum(cut is None or not (cut.method and cut.adopted_by and cut.standard_error > 0) for cut in cuts)
    return found(
        not (provisional or few or missing), cuts=len(cuts), provisional=provisional, few=few, missing=missing,
        judges=min((cut.judges for cut in set_ones), default=0),
    )  # fmt: skip


def _certificate_complete(desk: Desk) -> Finding:
    given: dict[str, Fact[Certificate]] = {fact.body.certificate: fact for fact in desk.facts(Certificate)}
    gone = {name for name, fact in given.items() if desk.state.people[fact.entry.person].erased}
    read, wrong = 0, 0
    for name, fact in given.items():
        if name in gone:
            continue
        try:
            credential = json.loads((desk.records / CERTIFICATES / f"{name}.json").read_bytes())
            is_whole = _says_all(credential) and envelope.digest(canonical_bytes(credential)) == fact.body.credential
        except (OSError, ValueError, VerificationError):
            wrong += 1
            continue
        read += 1
        wrong += not is_whole
    if not given:
        return cannot(certificates=0, read=0, wrong=0)
    return found(not wrong, certificates=len(given), read=read, wrong=wrong)


def _says_all(credential: Mapping[str, Any]) -> bool:
    subject = credential.get("credentialSubject", {})
    achievement = subject.get("achievement", {})
    kinds = {identity.get("identityType") for identity in subject.get("identifier", [])}
    return "name" in kinds and all(
        (subject.get("licenseNumber"), credential.get("issuer", {}).get("name"), achievement.get("version"),
         achievement.get("description"), credential.get("validFrom"), credential.get("validUntil"))
    )  # fmt: skip


def _status_public(desk: Desk) -> Finding:
    office = desk.state.keys[desk.state.office]
    try:
        text = (desk.records / STATUS / "status.js").read_text(encoding="utf-8")
        said = open_status_list(text.partition('"')[2].partition('"')[0], {office.id: office.public})
    except OSError:
        return found(False, problem="No status list was published")
    except (VerificationError, UnicodeDecodeError):
        return found(False, problem="The status list is not signed with the office key")
    if not date.fromisoformat(said.d) <= desk.on <= date.fromisoformat(said.e):
        return found(False, problem=f"The status list is of {said.d} and is to be believed until {said.e}")
    return found(True, day=said.d, until=said.e, suspended=len(said.s), withdrawn=len(said.w))


def _restrictions(desk: Desk) -> Finding:
    decisions = desk.decisions("suspend", "withdraw", "restore")
    count = {action: sum(fact.body.action == action for fact in decisions) for action in ("suspend", "withdraw")}
    wrong = [fact for fact in decisions if not _knows_reason(desk, fact)]
    return found(
        not wrong, suspended=count["suspend"], withdrawn=count["withdraw"], wrong=len(wrong), all=len(decisions),
        restored=len(decisions) - sum(count.values()),
    )  # fmt: skip


def _knows_reason(desk: Desk, fact: Fact[Decision]) -> bool:
    scheme = desk.state.schemes.get(fact.body.scheme)
    wanted = (fact.body.because, fact.body.action)
    return scheme is not None and wanted in {(reason.id, reason.action) for reason in scheme.reasons}


def _renewal_earned(desk: Desk) -> Finding:
    grants = desk.decisions("grant")
    before: dict[tuple[str, int], int] = {}
    renewals, wrong = 0, 0
    for grant in grants:
        whose = (grant.entry.person, grant.body.level)
        if whose in before:
            renewals += 1
            examined = [desk.state.by_number[number] for number in grant.body.evidence]
            wrong += any(
                fact.entry.number < before[whose] for fact in examined if isinstance(fact.body, Sitting | Observation)
            )
        before[whose] = grant.entry.number
    untils = [date.fromisoformat(grant.body.until) for grant in grants]
    return found(
        not wrong, grants=len(grants), renewals=renewals, wrong=wrong, expired=sum(day < desk.on for day in untils),
        due=sum(desk.on <= day <= desk.on + DUE_WITHIN for day in untils),
    )  # fmt: skip


def _appeals_and_records(desk: Desk) -> Finding:
    scheme, appeals = desk.state.scheme_now() or desk.workspace.scheme, list(desk.facts(Appeal))
    ended = {fact.body.decision: fact.entry.effective_on for fact in appeals if fact.body.stage != "lodged"}
    lodged = {fact.body.decision: fact.entry.effective_on for fact in appeals if fact.body.stage == "lodged"}
    allowed = timedelta(days=scheme.appeals.decided_within_days)
    late = sum(ended.get(decision, desk.on) - day > allowed for decision, day in lodged.items())
    return found(
        not late, lodged=len(lodged), decided=len(ended), late=late, entries=desk.state.count,
        signed=desk.state.count, erased=sum(member.erased for member in desk.state.people.values()),
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
