"""Tests of the record of a job: what stands in it, its pictures, Markdown and page, and the invented demo."""
