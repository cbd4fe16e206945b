"""Stagings as the page sets them up: cards side by side, each with what it changes."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path

import streamlit as st

from planner.core.problems import InputRefusedError, Problem
from planner.model.campaign import Campaign
from planner.scenario.findings import Findings
from planner.screens.state import Workspace
from planner.workflow.comparing import base_variant
from planner.workflow.demos import demos
from planner.workflow.loading import Loaded
from planner.workflow.variant_file import Drop, variant_of
from planner.workflow.variants import Variant, changed, variant_paths

CARDS_MAX = 6
BESIDE = 3
"""Cards in one row."""
CHANGES_HELP = (
    "The same words as in a file of the folder variants: [change.TABLE.ROW], [[add.TABLE]], "
    "[drop], [keys] for campaign.toml, [book] for prices.toml."
)


@dataclass(kw_only=True)
class Card:
    """One staging while it is set up.

    Attributes
    ----------
    number
        Tells its fields apart.
    name, text
        Name in words, and its changes as in a variant's file.
    without
        Rigs and crews that are left out, as ``rigs R1``.
    is_in
        Whether it is planned.
    """

    number: int
    name: str
    text: str = ""
    without: list[str] = field(default_factory=list)
    is_in: bool = True


@dataclass(kw_only=True)
class Bench:
    """The cards of one draft."""

    cards: list[Card]
    made: int = 0

    def add(self, name: str, text: str = "") -> None:
        """Put one more card at the end."""
        self.made += 1
        self.cards.append(Card(number=self.made, name=name, text=text))


def bench_of(work: Workspace) -> Bench:
    """Return the cards of a draft; at first those of its scenario's own variants."""
    found = work.benches.get("stagings")
    if isinstance(found, Bench):
        return found
    bench = Bench(cards=[])
    for path in _own_variants(work).values():
        text = path.read_text(encoding="utf-8-sig")
        bench.add(_name_in(text) or path.stem.replace("-", " ").capitalize(), text)
    if not bench.cards:
        bench.add("Staging 1")
    work.benches["stagings"] = bench
    return bench


def _own_variants(work: Workspace) -> dict[str, Path]:
    if work.head is None:
        return {}
    if work.head.place:
        return variant_paths(Path(work.head.place))
    name = work.head.source.removeprefix("demo ")
    return variant_paths(demos()[name]) if name in demos() else {}


def _name_in(text: str) -> str:
    file = variant_of(text, variant="", file="", findings=Findings())
    return "" if file is None else file.name


def edit(bench: Bench, campaign: Campaign) -> None:
    """Show the cards side by side, to be changed."""
    for start in range(0, len(bench.cards), BESIDE):
        row = bench.cards[start : start + BESIDE]
        columns = st.columns(BESIDE)
        for column, card in zip(columns, row, strict=False):
            with column, st.container(border=True):
                _edit_card(bench, card, campaign)
    if len(bench.cards) < CARDS_MAX and st.button("Add a staging", key="add-staging"):
        bench.add(f"Staging {bench.made + 1}")
        st.rerun()


def _edit_card(bench: Bench, card: Card, campaign: Campaign) -> None:
    key = f"card-{card.number}"
    card.name = st.text_input("Name", card.name, key=f"{key}-name", max_chars=60)
    rigs = [f"rigs {rig.rig_id}" for rig in campaign.rigs]
    crews = [f"crews {crew.crew_id}" for crew in campaign.crews]
    known = [*rigs, *crews]
    card.without = st.multiselect(
        "Leave out",
        known,
        [name for name in card.without if name in known],
        format_func=lambda name: name.replace("rigs ", "rig ").replace("crews ", "crew "),
        key=f"{key}-without",
        placeholder="rigs and crews",
    )
    card.text = st.text_area(
        "Changes", card.text, key=f"{key}-text", height=150, help=CHANGES_HELP
    )
    with st.container(horizontal=True):
        card.is_in = st.checkbox("Plan it", card.is_in, key=f"{key}-in")
        if st.button("Remove", key=f"{key}-remove", disabled=len(bench.cards) == 1):
            bench.cards.remove(card)
            st.rerun()


def variants_of(
    bench: Bench, loaded: Loaded, *, with_base: bool
) -> tuple[list[Variant], list[Problem]]:
    """Return the stagings that are to be planned, and what is wrong with the others."""
    found = [base_variant(loaded)] if with_base else []
    problems: list[Problem] = []
    for card in bench.cards:
        if not card.is_in:
            continue
        try:
            found.append(_variant(card, loaded))
        except InputRefusedError as refused:
            problems += refused.problems
    return found, problems


def _variant(card: Card, loaded: Loaded) -> Variant:
    findings = Findings()
    file = variant_of(
        card.text, variant=f"staging-{card.number}", file=card.name, findings=findings
    )
    findings.raise_errors()
    if file is None:
        msg = "a variant without errors has changes"
        raise AssertionError(msg)
    drops = tuple(
        Drop(table=name.partition(" ")[0], row=name.partition(" ")[2], line=None)
        for name in card.without
    )
    made = changed(loaded, replace(file, drops=(*file.drops, *drops)))
    return Variant(variant=made.variant, name=card.name, why=made.why, loaded=made.loaded)
