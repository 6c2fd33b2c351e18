"""The start as a timeline, as it should be or with one fault: drawn from the machine model at build time."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from markupsafe import Markup

from warmyard.machine.model import Machine, Signal
from warmyard.machine.sequence import Run, Span, first_difference, last_good_step, run_start, shown_symptoms
from warmyard.markup import element, empty_element, joined
from warmyard.page.machine_words import machine_word
from warmyard.page.time_scale import TimeScale, time_scale

WIDTH, SIDE = 480.0, 10.0
LINE = 20.0
BAND_HEIGHT, BAR_HEIGHT, ROW_HEIGHT = 26.0, 14.0, 44.0
LETTERS_A_LINE = 45
LETTERS_A_NOTE = 54
LEAST_NUMBERED = 9.0
"""Width in drawing units from which a stretch of a state has room for its number."""
MARK_SECONDS = 10
MARK_WIDTH = 28.0
"""Width in drawing units that the number at a mark takes at most."""


def sketch_sequence(machine: Machine, mode_id: str | None = None, timed_by: str = "") -> Markup:
    """Return the sequence chart as SVG with title and text alternative; readable at 390 px, in print, in the dark.

    `timed_by` names the machine whose data sheet gave the times; without a name they are the demo's own.
    Raises InputError when there is no such mode.
    """
    run = run_start(machine, mode_id)
    normal = run if mode_id is None else run_start(machine, None)
    rows = charted(machine)
    scale = _scale(rows, run, normal)
    heading = textwrap.wrap(heading_of(machine, mode_id), LETTERS_A_LINE)
    top = LINE * len(heading) + 14
    parts = [_text(SIDE, LINE * (at + 1) - 4, line, "wy-seq-heading") for at, line in enumerate(heading)]
    parts.append(_band(machine, run, scale, top))
    first_row = top + BAND_HEIGHT + 8
    foot = first_row + len(rows) * ROW_HEIGHT
    parts.append(_time_marks(scale, top, foot))
    parts.extend(
        _row(machine, signal, run, normal, scale, first_row + at * ROW_HEIGHT) for at, signal in enumerate(rows)
    )
    parted = first_difference(normal, run, [signal.id for signal in rows])
    if mode_id is not None and parted is not None:
        parts.append(_path("wy-seq-part", f"M{_x(scale, parted):.1f} {top - 6:.1f}V{foot:.1f}"))
    notes, height = _notes(machine, run, mode_id, parted, scale, foot + 2 * LINE, timed_by)
    parts.append(notes)
    name = f"sequence-{mode_id or 'normal'}"
    return element(
        "svg",
        element("title", heading_of(machine, mode_id), id=f"{name}-title"),
        element("desc", describe(machine, mode_id), id=f"{name}-desc"),
        *parts,
        class_="wy-sequence",
        viewBox=f"0 0 {WIDTH:g} {height:g}",
        role="img",
        aria_labelledby=f"{name}-title {name}-desc",
    )


def charted(machine: Machine) -> tuple[Signal, ...]:
    """Return the signals that stand on the chart, in the order of their rows."""
    return tuple(sorted((one for one in machine.signals.values() if one.chart), key=lambda one: one.chart))


def heading_of(machine: Machine, mode_id: str | None) -> str:
    """Return what a chart is headed."""
    if mode_id is None:
        return machine_word(machine, "chart-normal")
    return machine_word(machine, "chart-fault", mode=machine.modes[mode_id].name)


def describe(machine: Machine, mode_id: str | None) -> str:
    """Return the chart in words: states with their times, then what each line does, then what a caller reports."""
    run = run_start(machine, mode_id)
    said = [
        f"{machine.states[span.what].name} {_span(machine, span)}, {machine.states[span.what].seen}"
        for span in run.states
    ]
    for signal in charted(machine):
        spans = ", ".join(_span(machine, span) for span in run.signals[signal.id])
        said.append(machine_word(machine, "chart-on" if spans else "chart-never", signal=signal.name, spans=spans))
    said.extend(_findings(machine, run, mode_id))
    return " ".join(said)


def _findings(machine: Machine, run: Run, mode_id: str | None) -> Iterator[str]:
    if mode_id is None:
        return
    if first_difference(run_start(machine, None), run, [signal.id for signal in charted(machine)]) is not None:
        good = machine.states[last_good_step(machine, run)].name
        yield machine_word(machine, "chart-last-good", state=good)
    symptoms = "; ".join(machine.symptoms[symptom].name for symptom in shown_symptoms(machine, run))
    if symptoms:
        yield machine_word(machine, "chart-shows", symptoms=symptoms)


def _span(machine: Machine, span: Span) -> str:
    return machine_word(machine, "chart-span", start=f"{span.start:g}", end=f"{span.end:g}")


def _scale(rows: Sequence[Signal], *runs: Run) -> TimeScale:
    """Return the scale on which every change of a state or of a charted signal lies."""
    drawn = [span for run in runs for spans in (run.states, *(run.signals[row.id] for row in rows)) for span in spans]
    return time_scale((at for span in drawn for at in (span.start, span.end)), runs[0].until_seconds)


def _x(scale: TimeScale, seconds: float) -> float:
    return SIDE + scale.at(seconds) * (WIDTH - 2 * SIDE)


def _text(x: float, y: float, text: str, kind: str, anchor: str = "start") -> Markup:
    turned = None if anchor == "start" else anchor
    return element("text", text, class_=kind, x=f"{x:.1f}", y=f"{y:.1f}", text_anchor=turned)


def _path(kind: str, strokes: str) -> Markup:
    return empty_element("path", class_=kind, d=strokes)


def _box(scale: TimeScale, span: Span, y: float, height: float, kind: str) -> Markup:
    x, end = _x(scale, span.start), _x(scale, span.end)
    size = {"width": f"{end - x:.1f}", "height": f"{height:g}"}
    return empty_element("rect", class_=kind, x=f"{x:.1f}", y=f"{y:.1f}", **size)


def _band(machine: Machine, run: Run, scale: TimeScale, y: float) -> Markup:
    numbers = {state: str(at + 1) for at, state in enumerate(machine.states)}
    parts = []
    for at, span in enumerate(run.states):
        parts.append(_box(scale, span, y, BAND_HEIGHT, f"wy-seq-state wy-seq-state-{at % 2 + 1}"))
        if _x(scale, span.end) - _x(scale, span.start) >= LEAST_NUMBERED:
            middle = (_x(scale, span.start) + _x(scale, span.end)) / 2
            parts.append(_text(middle, y + BAND_HEIGHT - 8, numbers[span.what], "wy-seq-number", "middle"))
    return joined(parts)


def _row(machine: Machine, signal: Signal, run: Run, normal: Run, scale: TimeScale, y: float) -> Markup:
    never = not run.signals[signal.id]
    label = machine_word(machine, "chart-never", signal=signal.name).rstrip(".") if never else signal.name
    bar_y = y + LINE + 2
    parts = [_text(SIDE, y + LINE - 4, label, "wy-seq-label")]
    parts.append(_path("wy-seq-line", f"M{SIDE:g} {bar_y + BAR_HEIGHT:.1f}H{WIDTH - SIDE:g}"))
    parts.extend(
        _box(scale, span, bar_y, BAR_HEIGHT, f"wy-seq-on wy-seq-{signal.id}") for span in run.signals[signal.id]
    )
    if run is not normal:
        parts.extend(_box(scale, span, bar_y, BAR_HEIGHT, "wy-seq-ghost") for span in normal.signals[signal.id])
    return joined(parts)


def _time_marks(scale: TimeScale, top: float, foot: float) -> Markup:
    parts, free_from = [], 0.0
    for seconds in scale.marks(MARK_SECONDS):
        x = _x(scale, seconds)
        parts.append(_path("wy-seq-grid", f"M{x:.1f} {top + BAND_HEIGHT:.1f}V{foot:.1f}"))
        anchor = "start" if seconds == 0 else "end" if x > WIDTH - SIDE - MARK_WIDTH / 2 else "middle"
        starts = x - {"start": 0.0, "middle": MARK_WIDTH / 2, "end": MARK_WIDTH}[anchor]
        if starts >= free_from:
            parts.append(_text(x, foot + LINE - 2, str(seconds), "wy-seq-mark", anchor))
            free_from = starts + MARK_WIDTH
    for at in scale.breaks:
        x = SIDE + at * (WIDTH - 2 * SIDE)
        strokes = (f"M{x + shift - 3:.1f} {foot + 6:.1f}L{x + shift + 3:.1f} {foot - 6:.1f}" for shift in (-2, 2))
        parts.append(_path("wy-seq-break", "".join(strokes)))
    return joined(parts)


def _notes(
    machine: Machine, run: Run, mode_id: str | None, parted: float | None, scale: TimeScale, y: float, timed_by: str
) -> tuple[Markup, float]:
    """Return the lines below the chart and the height at which they end."""
    numbers = {state: at + 1 for at, state in enumerate(machine.states)}
    visited = sorted({span.what for span in run.states}, key=lambda state: numbers[state])
    named = [f"{numbers[state]}\u2002{machine.states[state].name}" for state in visited]
    half = (len(named) + 1) // 2
    parts = []
    for at, text in enumerate(named):
        column, row = divmod(at, half)
        parts.append(_text(SIDE + column * WIDTH / 2, y + (row + 1) * LINE, text, "wy-seq-label"))
    y += half * LINE + 10
    for text in [*_closing(machine, run, mode_id, parted, scale), _whose_times(machine, timed_by)]:
        for line in textwrap.wrap(text, LETTERS_A_NOTE):
            y += LINE
            parts.append(_text(SIDE, y, line, "wy-seq-note"))
        y += 4
    return joined(parts), y + 8


def _closing(machine: Machine, run: Run, mode_id: str | None, parted: float | None, scale: TimeScale) -> Sequence[str]:
    said = []
    if mode_id is not None:
        part = machine_word(machine, "chart-as-normal")
        if parted is not None:
            part = machine_word(
                machine, "chart-parts", at=machine_word(machine, "chart-seconds", seconds=f"{parted:g}")
            )
        said += [part, *_findings(machine, run, mode_id), machine_word(machine, "chart-ghost")]
    if scale.breaks:
        said.append(machine_word(machine, "chart-short"))
    return said


def _whose_times(machine: Machine, timed_by: str) -> str:
    return machine_word(machine, "chart-time-of", name=timed_by) if timed_by else machine_word(machine, "chart-time")
