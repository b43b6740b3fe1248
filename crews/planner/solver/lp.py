"""The linear relaxation of a packing by HiGHS: an upper bound and what each column is worth beyond its rows."""

import os
import sys
import threading
from dataclasses import dataclass

import highspy
import numpy as np

from crews.planner.packing import Packing

INFINITY = highspy.kHighsInf
_FIRST = threading.Lock()
_MADE: list[bool] = []


@dataclass(frozen=True)
class Relaxed:
    """Bound on the value of any choice [USD]; per column its share (0-1) and its reduced cost [USD]."""

    bound: float
    shares: list[float]
    reduced_costs: list[float]


def relax(packing: Packing, seed: int = 0) -> Relaxed:
    """Solve the relaxation by interior point with crossover.

    Raises RuntimeError when HiGHS does not prove the optimum (a packing always has one: choose nothing).
    """
    if not packing.values:
        return Relaxed(0.0, [], [])
    highs = _loaded(packing, seed)
    highs.setOptionValue("solver", "ipm")
    highs.run()
    if highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        highs.setOptionValue("solver", "simplex")
        highs.run()
    if highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        raise RuntimeError("The relaxation has no proved optimum.")
    solution = highs.getSolution()
    return Relaxed(highs.getInfo().objective_function_value, list(solution.col_value), list(solution.col_dual))


def solve_whole(packing: Packing, seed: int = 0, node_limit: int = 100_000) -> tuple[list[int], float]:
    """The best choice by branch and bound of HiGHS, and its bound: an independent second solver.

    The budget is a number of nodes, so that the answer does not depend on the clock.
    """
    if not packing.values:
        return [], 0.0
    highs = _loaded(packing, seed)
    n = len(packing.values)
    highs.changeColsIntegrality(n, np.arange(n, dtype=np.int32), np.full(n, highspy.HighsVarType.kInteger))
    highs.setOptionValue("mip_rel_gap", 0.0)
    highs.setOptionValue("mip_abs_gap", 0.5)  # values are whole dollars
    highs.setOptionValue("mip_max_nodes", node_limit)
    highs.run()
    shares = list(highs.getSolution().col_value)
    return [i for i, share in enumerate(shares) if share > 0.5], float(highs.getInfo().mip_dual_bound)


def _quiet_highs() -> highspy.Highs:
    """A solver whose banner reaches nobody.

    HiGHS writes a banner to file descriptor 1 the first time one is made in a process, before any option can be set;
    commands print JSON there. For that moment the descriptor points at a pipe that nobody reads (a banner fits in).
    """
    with _FIRST:
        if _MADE:
            return highspy.Highs()  # type: ignore[no-untyped-call]
        sys.stdout.flush()
        kept = os.dup(1)
        unread, nowhere = os.pipe()
        try:
            os.dup2(nowhere, 1)
            highs = highspy.Highs()  # type: ignore[no-untyped-call]
        finally:
            os.dup2(kept, 1)
            for descriptor in (kept, nowhere, unread):
                os.close(descriptor)
        _MADE.append(True)
        return highs


def _loaded(packing: Packing, seed: int) -> highspy.Highs:
    """HiGHS with the packing's columns and rows, one thread."""
    highs = _quiet_highs()
    for option, value in (("output_flag", False), ("threads", 1), ("random_seed", seed % 2**31)):
        highs.setOptionValue(option, value)
    model = highspy.HighsLp()
    n = len(packing.values)
    model.num_col_, model.num_row_ = n, len(packing.rows)
    model.sense_ = highspy.ObjSense.kMaximize
    model.col_cost_ = np.array(packing.values, dtype=np.float64)
    model.col_lower_, model.col_upper_ = np.zeros(n), np.ones(n)
    model.row_lower_ = np.array([r.capacity if r.exactly else -INFINITY for r in packing.rows], dtype=np.float64)
    model.row_upper_ = np.array([r.capacity for r in packing.rows], dtype=np.float64)
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.num_col_, model.a_matrix_.num_row_ = n, len(packing.rows)
    starts = np.cumsum([0, *(len(r.columns) for r in packing.rows)])
    model.a_matrix_.start_ = np.array(starts, dtype=np.int32)
    model.a_matrix_.index_ = np.array([c for r in packing.rows for c in r.columns], dtype=np.int32)
    model.a_matrix_.value_ = np.array([w for r in packing.rows for w in r.weights], dtype=np.float64)
    highs.passModel(model)
    return highs
