"""The campaign on paper: figures, story, charts, and the tables behind them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from planner.plan import measures
from planner.plan.plan import Proof
from planner.reports.key_figures import key_figures
from planner.reports.labels import COST_LINES, count, money
from planner.reports.sentences import SAFETY, story
from planner.reports.sheets.charts import finish_told, site_plan, week_bars
from planner.reports.sheets.ground import SheetGround
from planner.reports.sheets.paper import WIDTH_PT, document, gap, grid, new_page, text, together
from planner.reports.stays import stays
from planner.reports.wording import moment, time_range
from planner.site.issued import Issue
from planner.site.lookahead import month_rows

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

FINISH_ROW_PT = 15.0


def campaign_pdf(
    ground: SheetGround, proof: Proof, issues: Sequence[Issue], records: Sequence[str]
) -> bytes:
    """Return the report of a plan.

    Parameters
    ----------
    proof
        What is proven about the plan.
    issues
        Plans issued so far.
    records
        What the records of the site say, in sentences.
    """
    campaign = ground.campaign
    issue = "not issued" if ground.issue is None else f"issue {ground.issue}"
    pieces: list[Flowable] = [
        text(campaign.name, "title"),
        gap(3),
        text(f"Plan, {issue}; scenario {campaign.fingerprint[:12]}", "small"),
        gap(8),
        _figures(ground, proof),
        gap(8),
        *(text(sentence) for sentence in story(campaign, ground.plan, proof)),
        gap(8),
        week_bars(ground, width=WIDTH_PT, height=150),
        gap(8),
        *_records(records),
        *_told(issues),
        new_page(),
        site_plan(ground, width=WIDTH_PT),
        gap(8),
        *_stays(ground),
        *_months(ground),
        *_costs(ground),
        new_page(),
        *_zones(ground),
        gap(6),
        text(SAFETY, "small"),
    ]
    return document(
        pieces, title=f"Report: {campaign.name}", head=campaign.name, foot=f"Plan, {issue}"
    )


def _figures(ground: SheetGround, proof: Proof) -> Flowable:
    rows: list[list[Any]] = [
        [text(words, "head") for words in ("", "this plan", "no plan beats", "what that means")]
    ]
    rows += [
        [
            text(figure.name, "strong"),
            text(figure.value, "strong"),
            text(figure.bound),
            text(figure.verdict, "small"),
        ]
        for figure in key_figures(ground.campaign, ground.plan, proof)
    ]
    return grid(rows, [80.0, 110.0, 110.0, WIDTH_PT - 300.0])


def _records(records: Sequence[str]) -> list[Flowable]:
    if not records:
        return []
    return [text("By the records of the site", "section"), *map(text, records), gap(8)]


def _told(issues: Sequence[Issue]) -> list[Flowable]:
    drawing = finish_told(issues, width=WIDTH_PT, height=60 + FINISH_ROW_PT * len(issues))
    return [] if drawing is None else [drawing]


def _stays(ground: SheetGround) -> list[Flowable]:
    rows: list[list[Any]] = [
        [text(words, "head") for words in ("Rig", "stay", "position", "from, to", "runs", "m³")]
    ]
    rows += [
        [
            text(str(stay.rig), "strong"),
            text(str(stay.number)),
            text(str(stay.position)),
            text(time_range(ground.clock, stay.start_min, stay.end_min)),
            text(str(stay.runs), "right"),
            text(f"{stay.volume_m3:.1f}", "right"),
        ]
        for rig in ground.campaign.rigs
        for stay in stays(ground.plan, rig.rig_id)
    ]
    widths = [80.0, 40.0, 100.0, WIDTH_PT - 310.0, 40.0, 50.0]
    return [text("Where the rigs stand", "section"), gap(3), grid(rows, widths, pad=1.4), gap(8)]


def _months(ground: SheetGround) -> list[Flowable]:
    found = month_rows(ground.campaign, ground.plan, ground.access)
    if not found:
        return []
    heads = ("Month", "section", "rig", "shifts", "nights", "m³", "cost")
    rows: list[list[Any]] = [[text(words, "head") for words in heads]]
    rows += [
        [
            text(row.month),
            text(row.section),
            text(row.rig),
            text(str(row.shifts), "right"),
            text(str(row.nights), "right"),
            text(f"{row.in_place_m3:.1f}", "right"),
            text(money(row.cost), "right"),
        ]
        for row in found
    ]
    widths = [60.0, WIDTH_PT - 340.0, 80.0, 45.0, 45.0, 50.0, 60.0]
    return [
        text("By month, section and rig", "section"),
        gap(3),
        grid(rows, widths, pad=1.4),
        gap(8),
    ]


def _costs(ground: SheetGround) -> list[Flowable]:
    lines = measures.cost_lines(ground.campaign, ground.plan)
    whole = measures.cost(ground.campaign, ground.plan)
    if whole <= 0.0:
        return []
    rows: list[list[Any]] = [[text("Cost", "head"), text("own currency", "head")]]
    rows += [
        [text(COST_LINES.get(name, name)), text(money(amount), "right")]
        for name, amount in lines.items()
        if amount
    ]
    rows.append([text("together", "strong"), text(money(whole), "strong right")])
    return [together(grid(rows, [160.0, 90.0], pad=1.4)), gap(8)]


def _zones(ground: SheetGround) -> list[Flowable]:
    campaign, plan = ground.campaign, ground.plan
    heads = ("Zone", "face", "m³", "layers", "begins", "done", "rig", "position")
    rows: list[list[Any]] = [[text(words, "head") for words in heads]]
    reasons = {row.zone: row.reason for row in plan.unplanned}
    for zone in campaign.zones:
        spells = [spell for spell in plan.spells if spell.zone == zone.zone_id]
        start = [
            text(str(zone.zone_id), "strong"),
            text(str(zone.orientation), "small"),
            text(f"{zone.in_place_m3(campaign.rules.overbreak):.2f}", "right"),
        ]
        if not spells:
            reason = reasons.get(zone.zone_id, "nothing left to spray")
            rows.append([*start, "", text(reason, "small"), "", "", ""])
            continue
        rows.append(
            [
                *start,
                text(str(len({spell.layer for spell in spells})), "right"),
                text(moment(ground.clock, min(spell.start_min for spell in spells)), "small"),
                text(moment(ground.clock, max(spell.end_min for spell in spells)), "small"),
                text(", ".join(sorted({str(spell.rig) for spell in spells})), "small"),
                text(", ".join(sorted({str(spell.position) for spell in spells})), "small"),
            ]
        )
    widths = [88.0, 48.0, 36.0, 34.0, 80.0, 80.0, 60.0, WIDTH_PT - 426.0]
    return [
        text(f"All {count(len(campaign.zones), 'zone')}", "section"),
        gap(3),
        grid(rows, widths, pad=1.2),
    ]
