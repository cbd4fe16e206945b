"""Comparisons as files that a client reads."""

from __future__ import annotations

from collections.abc import Sequence

from planner.reports.comparison import crossing_words
from planner.reports.comparison_pdf import CurvePicture, comparison_pdf
from planner.workflow.comparing import Curve, stagings
from planner.workflow.loading import Loaded
from planner.workflow.sweep_task import Row


def comparison_file(
    loaded: Loaded,
    rows: Sequence[Row],
    curves: Sequence[Curve],
    goals: Sequence[str],
    *,
    version: str,
) -> bytes:
    """Return the PDF of stagings side by side, with the curves that were planned."""
    found = stagings(rows, goals)
    pictures = [picture(curve) for curve in curves]
    return comparison_pdf(loaded.campaign.name, found, pictures, version=version)


def picture(curve: Curve) -> CurvePicture:
    """Return a curve with its words, ready to be drawn."""
    scale = curve.scale
    return CurvePicture(
        title=f"Estimate per m³ in place, by {scale.axis.value}: {scale.meaning}",
        unit=scale.unit,
        one=curve.one,
        other=curve.other,
        words=crossing_words(curve.one, curve.other, curve.crossings, scale.unit),
    )
