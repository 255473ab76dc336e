"""Pictures of the strip-down: what blocks what, the plan over minutes, a ladder's chance to free.

Everything is `currentColor`; what a box or a line means is also said by its dash, hatch and words.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape

from casewright.phases.strip import Node, StepLine
from casewright.reasoning.ladder_plan import LadderPlan, PlanStep
from casewright.voice.document import Picture
from casewright.voice.quantities import say_chance, say_minutes

WIDTH, GAP, BOX, LETTER = 760, 14, 50, 6.1
ROW, BAR_LEFT, BAR_END, TOOL_AT, POSTURE_AT = 22, 262, 520, 530, 680
MOST_IN_ROW = 5
SIGNS = {
    "open": "✓ open", "next": "▶ next", "ready": "free to open", "locked": "waits",
    "stuck": "stuck", "given up": "stays shut", "not needed": "not needed",
}  # fmt: skip
DASHES = {"locked": ' stroke-dasharray="5 4"', "not needed": ' stroke-dasharray="1 4"'}
HATCH = (
    '<defs><pattern id="strip-{0}" width="7" height="7" patternUnits="userSpaceOnUse">'
    '<path d="M0 7L7 0" stroke="currentColor" stroke-width="1" opacity=".45"/></pattern></defs>'
)


def _svg(height: float, parts: Sequence[str], *, width: int = WIDTH, size: int = 12) -> str:
    return (
        f'<svg viewBox="0 0 {width} {height:.0f}" xmlns="http://www.w3.org/2000/svg" '
        f'font-family="system-ui, sans-serif" font-size="{size}">{"".join(parts)}</svg>'
    )


def _text(x: float, y: float, words: str, more: str = "") -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" fill="currentColor"{more}>{escape(words)}</text>'


def _wrapped(words: str, letters: int, most: int = 3) -> list[str]:
    """Words in lines of so many letters, the last one cut with an ellipsis."""
    lines = [""]
    for word in words.split():
        if len(lines[-1]) + len(word) + 1 <= letters or not lines[-1]:
            lines[-1] = f"{lines[-1]} {word}".strip()
        else:
            lines.append(word)
    if len(lines) > most:
        lines = [*lines[: most - 1], f"{lines[most - 1][: letters - 1]}…"]
    return [line if len(line) <= letters + 1 else f"{line[: letters - 1]}…" for line in lines]


# ---- what blocks what ------------------------------------------------------------------------


def draw_graph(nodes: Sequence[Node]) -> Picture:
    """The blocking graph: what is above must be open before what is below."""
    rows = _uncrossed(_rows(nodes))
    place: dict[str, tuple[float, float, float]] = {}
    for r, row in enumerate(rows):
        wide = min(190.0, (WIDTH - GAP * (len(row) - 1)) / len(row))
        left = (WIDTH - wide * len(row) - GAP * (len(row) - 1)) / 2
        for k, node in enumerate(row):
            place[node.key] = (left + k * (wide + GAP), 6 + r * (BOX + 30), wide)
    parts = [HATCH.format("stuck"), *_edges(nodes, place)]
    for node in nodes:
        parts.append(_box(node, *place[node.key]))
    height = 6 + len(rows) * (BOX + 30) - 18
    return Picture(
        _svg(height, parts, size=11), _graph_words(nodes),
        "What blocks what: a joint opens once those above it, joined by a line, are open; "
        "dotted lines are ways of which one is enough",
    )  # fmt: skip


def _rows(nodes: Sequence[Node]) -> list[list[Node]]:
    """Joints in rows: each below everything that it waits for; long rows are split."""
    known = {node.key: node for node in nodes}
    depth: dict[str, int] = {}

    def deep(key: str, above: frozenset[str]) -> int:
        if key not in depth:
            waits = [k for k in (*known[key].after, *known[key].either) if k in known]
            below = above | {key}
            depth[key] = 1 + max((deep(k, below) for k in waits if k not in above), default=0)
        return depth[key]

    rows: dict[int, list[Node]] = {}
    for node in nodes:
        rows.setdefault(deep(node.key, frozenset({node.key})), []).append(node)
    found: list[list[Node]] = []
    for _, row in sorted(rows.items()):
        parts = -(-len(row) // MOST_IN_ROW)
        size = -(-len(row) // parts)
        found += [row[k : k + size] for k in range(0, len(row), size)]
    return found


def _uncrossed(rows: list[list[Node]]) -> list[list[Node]]:
    """Each row in the order of the middle of what its joints wait for, so that few lines cross."""
    middle: dict[str, float] = {}
    found = []
    for row in rows:
        means = {}
        for k, node in enumerate(row):
            known = [middle[one] for one in (*node.after, *node.either) if one in middle]
            means[node.key] = sum(known) / len(known) if known else (k + 0.5) / len(row)
        sorted_row = sorted(row, key=lambda node: means[node.key])
        middle |= {node.key: (k + 0.5) / len(row) for k, node in enumerate(sorted_row)}
        found.append(sorted_row)
    return found


def _edges(nodes: Sequence[Node], place: dict[str, tuple[float, float, float]]) -> Iterator[str]:
    """Lines from each joint to what it waits for; what another line implies is left out."""
    above = _above(nodes)
    for node in nodes:
        needed = [k for k in node.after if not any(k in above[o] for o in node.after if o in above)]
        for key in (*needed, *node.either):
            if key in place:
                dash = ' stroke-dasharray="2 4"' if key in node.either else ""
                yield _edge(place[key], place[node.key], dash)


def _edge(upper: tuple[float, float, float], lower: tuple[float, float, float], dash: str) -> str:
    fx, fy = upper[0] + upper[2] / 2, upper[1] + BOX
    x, y = lower[0] + lower[2] / 2, lower[1]
    middle = (fy + y) / 2
    return (
        f'<path d="M{fx:.0f} {fy:.0f}C{fx:.0f} {middle:.0f} {x:.0f} {middle:.0f} {x:.0f} {y:.0f}" '
        f'fill="none" stroke="currentColor" stroke-width="1" opacity=".45"{dash}/>'
    )


def _above(nodes: Sequence[Node]) -> dict[str, set[str]]:
    """Joint to everything that must be open before it."""
    after = {node.key: node.after for node in nodes}
    found: dict[str, set[str]] = {}
    for key in after:
        todo, seen = list(after[key]), set[str]()
        while todo:
            one = todo.pop()
            if one not in seen:
                seen.add(one)
                todo += after.get(one, ())
        found[key] = seen
    return found


def _box(node: Node, x: float, y: float, wide: float) -> str:
    """A joint as a box: its words, and its state as a word, a dash and a hatch."""
    thick = 3 if node.state in ("next", "stuck") else 1.2
    fill = "url(#strip-stuck)" if node.state in ("stuck", "given up") else "none"
    fade = ' opacity=".6"' if node.state in ("open", "not needed") else ""
    lines = _wrapped(node.name, int(wide / LETTER), 2)
    words = [_text(x + 6, y + 15 + 13 * k, line) for k, line in enumerate(lines)]
    sign = _text(x + 6, y + BOX - 5, SIGNS[node.state], ' font-weight="bold" font-size="10"')
    return (
        f'<g{fade}><rect x="{x:.1f}" y="{y:.1f}" width="{wide:.1f}" height="{BOX}" rx="5" '
        f'fill="{fill}" stroke="currentColor" stroke-width="{thick}"'
        f"{DASHES.get(node.state, '')}/>{''.join(words)}{sign}</g>"
    )


def _graph_words(nodes: Sequence[Node]) -> str:
    by_state: dict[str, list[str]] = {}
    for node in nodes:
        by_state.setdefault(node.state, []).append(node.name)
    return "What blocks what. " + ". ".join(
        f"{SIGNS[word].lstrip('✓▶ ')}: {', '.join(names)}" for word, names in by_state.items()
    )


# ---- the plan over minutes ---------------------------------------------------------------------


def draw_plan(lines: Sequence[StepLine], minutes: float) -> Picture:
    """The plan as a strip chart: a row for each step, its bar over the minutes, tool, posture."""
    scale = (BAR_END - BAR_LEFT) / max(minutes, 1.0)
    parts = [
        _text(x, 12, words, ' font-weight="bold"')
        for x, words in ((BAR_LEFT, "minutes"), (TOOL_AT, "tool"), (POSTURE_AT, "posture"))
    ]
    before: StepLine | None = None
    for k, line in enumerate(lines):
        parts += list(_plan_row(k, line, before, scale))
        before = line if line.kind == "joint" else before
    bottom = 20.0 + ROW * len(lines)
    parts += list(_minutes_axis(BAR_LEFT, bottom, scale, minutes))
    alt = f"The plan over {say_minutes(minutes)}: " + "; ".join(
        f"{k} {line.name} with {line.tool or 'what is at hand'}" for k, line in enumerate(lines, 1)
    )
    title = (
        "The plan over the minutes: hatched is changing over; a line down means the same goes on"
    )
    return Picture(_svg(bottom + 24, [HATCH.format("change"), *parts], size=11), alt, title)


def _plan_row(k: int, line: StepLine, before: StepLine | None, scale: float) -> Iterator[str]:
    """One step: number and name, hatched changes and bar, tool and posture where they change."""
    y = 20.0 + ROW * k
    yield _text(0, y + 14, _wrapped(f"{k + 1} {line.name}", int(BAR_LEFT / 5.6), 1)[0])
    start = line.clock - line.minutes
    x, wide = BAR_LEFT + start * scale, max(line.minutes * scale, 2.0)
    if line.change:
        back = line.change * scale
        yield (
            f'<rect x="{x - back:.1f}" y="{y + 4}" width="{back:.1f}" height="{ROW - 8}" '
            f'fill="url(#strip-change)"/>'
        )
    solid = "currentColor" if line.kind == "joint" else "none"
    yield (
        f'<rect x="{x:.1f}" y="{y + 4}" width="{wide:.1f}" height="{ROW - 8}" fill="{solid}" '
        f'stroke="currentColor"/>'
    )
    if line.kind == "joint":
        hands = f" ({line.people} people)" if line.people > 1 else ""
        yield _held(TOOL_AT, y, line.tool + hands, before.tool if before else "", 26)
        yield _held(POSTURE_AT, y, line.posture, before.posture if before else "", 15)


def _held(x: float, y: float, now: str, before: str, letters: int) -> str:
    """What is in use, or a line down where it is what was in use before."""
    if now == before:
        return f'<path d="M{x + 5} {y - 2}V{y + ROW - 4}" stroke="currentColor" opacity=".6"/>'
    return _text(x, y + 14, _wrapped(now, letters, 1)[0])


def _minutes_axis(left: float, y: float, scale: float, minutes: float) -> Iterator[str]:
    step = 15 if minutes <= 120 else 60
    for minute in range(0, int(minutes) + 1, step):
        x = left + minute * scale
        yield f'<path d="M{x:.1f} {y}V{y + 5}" stroke="currentColor"/>'
        yield _text(x - (0 if minute == 0 else 8), y + 17, say_minutes(minute), ' font-size="10"')


# ---- a ladder ----------------------------------------------------------------------------------


def draw_ladder(plan: LadderPlan) -> Picture:
    """Cumulative chance to have it free against minutes of work, and what each rung risks."""
    left, right, top, tall = 54.0, 12.0, 12.0, 190.0
    minutes = sum(step.minutes for step in plan.steps)
    scale = (WIDTH - left - right) / max(minutes, 1.0)
    parts = [HATCH.format("risk"), *_chance_axis(left, top, tall, WIDTH - right)]
    parts += list(_curve(plan.steps, left, top, tall, scale))
    bottom = top + tall
    parts += list(_minutes_axis(left, bottom, scale, minutes))
    parts += list(_risks(plan.steps, left, bottom + 34, scale))
    rows = len({risk.piece for step in plan.steps for risk in step.risks})
    height = bottom + 38 + 24 * rows
    said = "; ".join(
        f"{k} {step.name}: by then {say_chance(step.cumulative)}"
        for k, step in enumerate(plan.steps, 1)
    )
    return Picture(
        _svg(height, parts, size=11), f"Chance to have it free: {said}",
        "Chance to have it free against minutes of work (waiting not counted); below, what each "
        "method puts at risk",
    )  # fmt: skip


def _chance_axis(left: float, top: float, tall: float, end: float) -> Iterator[str]:
    for tenths in (0, 5, 10):
        y = top + tall * (1 - tenths / 10)
        yield f'<path d="M{left} {y}H{end}" stroke="currentColor" opacity=".3"/>'
        yield _text(0, y + 4, f"{tenths} in 10")


def _curve(
    steps: Sequence[PlanStep], left: float, top: float, tall: float, scale: float
) -> Iterator[str]:
    """The stairs, each rung's number on its tread; preparations are hatched."""
    x, y = left, top + tall
    path = f"M{x:.1f} {y:.1f}"
    for k, step in enumerate(steps, 1):
        wide = step.minutes * scale
        risen = top + tall * (1 - step.cumulative)
        if step.kind != "attempt":
            yield (
                f'<rect x="{x:.1f}" y="{top}" width="{wide:.1f}" height="{tall}" '
                f'fill="url(#strip-risk)"/>'
            )
        path += f"H{x + wide:.1f}V{risen:.1f}"
        wait = f" + {say_minutes(step.wait)} wait" if step.wait else ""
        label = f"{k}{wait}" if wide > 90 or not wait else str(k)
        yield _text(x + wide / 2 - 3, y - 5, label, ' font-weight="bold"')
        x, y = x + wide, risen
    yield f'<path d="{path}" fill="none" stroke="currentColor" stroke-width="2.5"/>'


def _risks(steps: Sequence[PlanStep], left: float, top: float, scale: float) -> Iterator[str]:
    """A row for each piece: a bar under every rung that may harm it, with the chance."""
    names = dict.fromkeys((risk.piece, risk.name) for step in steps for risk in step.risks)
    for row, (piece, name) in enumerate(names):
        x, y = left, top + 24 * row
        for step in steps:
            wide = step.minutes * scale
            for risk in step.risks:
                if risk.piece == piece:
                    yield (
                        f'<rect x="{x + 1:.1f}" y="{y:.1f}" width="{max(wide - 2, 2):.1f}" '
                        f'height="8" fill="none" stroke="currentColor"/>'
                        f'<rect x="{x + 1:.1f}" y="{y:.1f}" '
                        f'width="{max(wide - 2, 2) * risk.chance:.1f}" height="8" '
                        f'fill="currentColor"/>'
                    )
            x += wide
        yield _text(left, y + 19, f"{name}: how often harmed", ' font-size="10"')
