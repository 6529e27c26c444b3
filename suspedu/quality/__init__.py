"""Tolerances through the real damper, sampling plans, and what quality costs."""

from suspedu.quality.batch_read import BatchRead, batch_read
from suspedu.quality.bench_forces import bench_force
from suspedu.quality.chain import (
    GRADES,
    Chain,
    Order,
    batch_spread,
    chain,
    cheapest,
    order_costs,
    prepare_batches,
    tolerance_price,
)
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
from suspedu.quality.propagation import causes, contribution, linear_spread, root_sum_square, worst_case
from suspedu.quality.rides import felt_by, furthest_felt, ridden_batch
from suspedu.quality.sampling import (
    SamplingPlan,
    acceptance_probability,
    outgoing_limit,
    outgoing_quality,
    plan_for,
    total_inspection,
)
from suspedu.quality.spread import Spread, batch_forces, normal_share_outside, share_outside, spread_of
from suspedu.quality.tolerances import Scratch, Tolerance, drawn_legs, scratched, usual_tolerances

__all__ = [
    "GRADES", "BatchRead", "Chain", "Order", "Prices", "QualityCosts", "SamplingPlan", "Scratch", "Spread",
    "Tolerance", "acceptance_probability", "batch_forces", "batch_read", "batch_spread", "bench_force", "break_even",
    "causes", "chain", "cheapest", "conformance_cost", "contribution", "drawn_legs", "effort_per_part",
    "failure_cost", "felt_by", "furthest_felt", "least_cost", "linear_spread", "mixed_cost", "normal_share_outside",
    "optimum_conformance", "order_costs", "outgoing_limit", "outgoing_quality", "plan_for", "prepare_batches",
    "quality_costs", "ridden_batch", "root_sum_square", "scratched", "share_outside", "spread_of", "tolerance_price",
    "total_inspection", "usual_tolerances", "way_cost", "way_shares", "worst_case", "wrong_part_cost",
]  # fmt: skip
