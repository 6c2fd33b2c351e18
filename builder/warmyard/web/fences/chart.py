"""A chart on a page."""

from __future__ import annotations

from markupsafe import Markup

from warmyard.course.charts import ceiling_of
from warmyard.course.fences.chart import SEQUENCE, ChartNode
from warmyard.course.values import quantities
from warmyard.page.charts import sketch_chart
from warmyard.web.blocks import Writer
from warmyard.web.fill import fill


def write(writer: Writer, node: ChartNode) -> Markup:
    """Return the start sequence, or a chart of a formula."""
    if node.chart == SEQUENCE:
        mode = None if node.mode in (None, "none") else node.mode
        return fill("chart", drawing=writer.drawn.sequence(mode))
    chart = writer.workspace.charts[node.chart]
    formula = writer.workspace.register.formulas[chart.formula]
    fixed = quantities(writer.workspace.shelf, formula, chart.fixed, chart.place.within("fixed"))
    ceiling = ceiling_of(chart, writer.workspace.shelf)
    return fill("chart", drawing=sketch_chart(chart, formula, fixed, ceiling))
