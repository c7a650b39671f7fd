"""Certificates, and the checker that anyone can read.

This file imports nothing, so that `python -m construct.proofs.checker` runs on
the standard library alone.
"""
