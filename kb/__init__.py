"""The knowledge of Lampwright: YAML only; this file makes it ship as a package."""
