"""Benchmarks: each prints ratios against a reference measured in the same run."""
