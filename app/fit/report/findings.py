"""All rules over one board, their findings in a fixed order."""

from __future__ import annotations

from app.catalogue.load import Catalogue
from app.fit.features.layout import layout_of, natural
from app.fit.finding import SEVERITIES, Finding
from app.fit.registry import RULES
from app.model.resolved import ResolvedBoard

_GRAVITY = {severity: k for k, severity in enumerate(SEVERITIES)}
_ORDER = {rule.name: k for k, rule in enumerate(RULES)}


def findings_of(board: ResolvedBoard, catalogue: Catalogue) -> tuple[Finding, ...]:
    """Findings of every rule, most severe first, then by rule, then by subjects and what they lack."""
    layout = layout_of(board, catalogue)
    found = [finding for rule in RULES for finding in rule.find(layout)]

    def place(finding: Finding) -> tuple[object, ...]:
        return (
            _GRAVITY[finding.severity],
            _ORDER[finding.rule],
            tuple(natural(s) for s in finding.subjects),
            finding.margin or 0.0,
            finding.detail.edge or finding.detail.cause,
        )

    return tuple(sorted(found, key=place))
