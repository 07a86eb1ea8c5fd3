"""`check`: the findings of a gig, printed or as JSON."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import click

from rigcore.analysis import Analysis
from rigcore.cli.common import FILE, GIG, analysis_of, many
from rigcore.cli.exit_codes import FAULTS
from rigcore.rules.rule import Finding


@click.command()
@FILE
@GIG
@click.option("--json", "as_json", is_flag=True, help="Print the findings and totals as JSON.")
def check(file: Path, gig_id: str | None, as_json: bool) -> int:
    """Check a gig and print its findings. Exit code 1 if there is a fault."""
    analysis = analysis_of(file, gig_id)
    if as_json:
        click.echo(json.dumps(_as_json(analysis), indent=1, ensure_ascii=False))
    else:
        print_findings(analysis)
    return FAULTS if any(one.severity == "fault" for one in analysis.findings) else 0


def print_findings(analysis: Analysis) -> None:
    """Print the totals, the input list and the findings of a gig."""
    gig, counts = analysis.gig, analysis.counts
    click.echo(f"{analysis.patch.rig.name} at {analysis.patch.house.name}" + (f", {gig.date}" if gig.date else ""))
    dis = counts.dis
    click.echo(
        f"{many(counts.channels, 'channel')}, {counts.phantom} with 48 V, "
        f"{sum(dis.values())} DI ({dis['rig']} ours, {dis['house']} yours), "
        f"{many(sum(counts.stands.values()), 'stand')}, {many(counts.outlets, 'outlet')}, "
        f"{counts.watts:g} W, {counts.amps:.2f} A at {analysis.patch.house.mains_v:g} V"
    )
    for row in analysis.inputs:
        phantom = "48 V" if row.phantom else "    "
        click.echo(f"  {row.act:>3} {row.house:>4}  {phantom}  {row.name:<18.18}  {row.via}")
    click.echo()
    for finding in analysis.findings:
        _print_finding(finding)
    if not analysis.findings:
        click.echo("Nothing found.")


def _print_finding(finding: Finding) -> None:
    click.echo(f"{finding.severity:<5}  {finding.sentence}  [{finding.rule}]")
    for line in finding.working:
        click.echo(f"         {line}")
    for remedy in finding.remedies:
        click.echo(f"         remedy: {remedy.words}")
    for assumed in finding.assumed:
        click.echo(f"         assumed until the house says otherwise: {assumed}")


def _as_json(analysis: Analysis) -> dict[str, Any]:
    counts = analysis.counts
    return {
        "gig": analysis.gig.id,
        "findings": [
            {
                "rule": one.rule,
                "severity": one.severity,
                "sentence": one.sentence,
                "things": [{"kind": thing.kind, "id": thing.id, "port": thing.port} for thing in one.things],
                "working": list(one.working),
                "remedies": [remedy.words for remedy in one.remedies],
                "assumed": list(one.assumed),
            }
            for one in analysis.findings
        ],
        "channels": [
            {
                "act": row.act, "house": row.house, "socket": row.socket, "name": row.name, "source": row.source,
                "via": row.via, "48 V": row.phantom, "stand": row.stand_words, "pair with": row.mate,
                "notes": list(row.notes),
            }
            for row in analysis.inputs
        ],
        "outputs": [
            {"mix": row.mix, "name": row.name, "kind": row.kind, "layout": row.layout} for row in analysis.outputs
        ],
        "totals": {
            "channels": counts.channels, "48 V": counts.phantom, "DI": counts.dis, "stands": counts.stands,
            "microphones": counts.mics, "sends": counts.sends, "wedges": counts.wedges, "outlets": counts.outlets,
            "watts": counts.watts, "amperes": round(counts.amps, 3),
            "leads": [
                {"cable": one.cable, "length_m": one.length_m, "owner": one.owner, "count": one.count}
                for one in counts.leads
            ],
        },
    }
