"""The line in hand and the lines laid over it, put on the layers of the panels."""

from __future__ import annotations

import numpy as np

from taperlab.gui.kit.theme import pen
from taperlab.gui.plots.drawing import Laid
from taperlab.gui.plots.layers import Curve, Piece
from taperlab.gui.plots.panel import Panel
from taperlab.gui.plots.scales import Plot, values
from taperlab.gui.plots.stage import Stage
from taperlab.shop.analyse import LineAnalysis


def curve_points(
    stage: Stage, panel: Panel, analysis: LineAnalysis
) -> tuple[np.ndarray, np.ndarray]:
    """The curve of a line in a panel's units: positions and values."""
    curves = analysis.curves
    start = stage.drawing.start if analysis is stage.drawing.analysis else 0.0
    return (
        (curves.position + start) / panel.distance.unit,
        values(curves, panel.plot) / panel.scale.unit,
    )


def draw_own(stage: Stage) -> None:
    """Draw the line in hand: its outline in pieces, its curves thick."""
    line = stage.line
    if line is None:
        return
    how = pen(stage.tokens.accent, 2.0)
    for panel in stage.shown_panels():
        if panel.outline:
            panel.outline.set_pieces(_pieces(stage, panel, line))
        else:
            x, y = curve_points(stage, panel, line)
            panel.own.set_curves([Curve.of(x, y, how)])
            if panel.fill:
                panel.fill.set_curve(x, y)


def _pieces(stage: Stage, panel: Panel, line: LineAnalysis) -> list[Piece]:
    profile, parts = line.profile, stage.tokens.parts
    starts = ((profile.starts + stage.drawing.start) / panel.distance.unit).tolist()
    front = (profile.front_diameters / panel.scale.unit).tolist()
    rear = (profile.rear_diameters / panel.scale.unit).tolist()
    return [
        Piece(starts[i], starts[i + 1], front[i], rear[i], parts[segment.part])
        for i, segment in enumerate(line.line.segments)
    ]


def draw_laid(stage: Stage) -> None:
    """Draw the lines laid over it, the shadow below them in grey; outlines on both edges."""
    shadow = stage.shadow
    laid = [*stage.drawing.laid]
    if shadow:
        laid.insert(0, Laid(shadow.name, shadow.analysis, stage.tokens.soft, None))
    laid = [each for each in laid if each.analysis.segments]
    for panel in stage.shown_panels():
        curves = []
        for each in laid:
            how = pen(each.colour, 1.0, each.dash)
            x, y = curve_points(stage, panel, each.analysis)
            curves.append(Curve.of(x, y, how))
            if panel.plot is Plot.OUTLINE:
                curves.append(Curve.of(x, -y, how))
        panel.overlays.set_curves(curves)
