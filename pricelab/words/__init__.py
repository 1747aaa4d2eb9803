"""Findings, leads and cautions in sentences."""
