"""Proof: fits, torque record, sealing tests, oil, anodes and functional tests."""

from casewright.phases.proof.bench_sums import FitSum, fit_sum, fit_sums
from casewright.phases.proof.fit_plans import FitPlan, HeatTimes, Span, plan_fit
from casewright.phases.proof.oil_sums import MetalTrend, OilReading
from casewright.phases.proof.torque_sums import TorqueSum, torque_sum
from casewright.phases.proof.view import CircuitView, FunctionLine, ProofView, open_step, view

__all__ = [
    "CircuitView",
    "FitPlan",
    "FitSum",
    "FunctionLine",
    "HeatTimes",
    "MetalTrend",
    "OilReading",
    "ProofView",
    "Span",
    "TorqueSum",
    "fit_sum",
    "fit_sums",
    "open_step",
    "plan_fit",
    "torque_sum",
    "view",
]
