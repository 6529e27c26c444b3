"""Tolerances through the real damper, sampling plans, and what quality costs."""

from suspedu.quality.costs import (
    QualityCosts,
    conformance_cost,
    effort_per_part,
    failure_cost,
    least_cost,
    optimum_conformance,
    quality_costs,
    wrong_part_cost,
)
from suspedu.quality.inspection import Prices, break_even, mixed_cost, way_cost, way_shares
from suspedu.quality.sampling import (
    SamplingPlan,
    acceptance_probability,
    outgoing_limit,
    outgoing_quality,
    plan_for,
    total_inspection,
)

__all__ = [
    "Prices", "QualityCosts", "SamplingPlan", "acceptance_probability", "break_even", "conformance_cost",
    "effort_per_part", "failure_cost", "least_cost", "mixed_cost", "optimum_conformance", "outgoing_limit",
    "outgoing_quality", "plan_for", "quality_costs", "total_inspection", "way_cost", "way_shares", "wrong_part_cost",
]  # fmt: skip
