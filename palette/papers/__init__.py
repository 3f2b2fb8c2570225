"""The papers of the paint day, drawn as values and printed to PDF and SVG."""

from palette.papers.folder import Paper, count_papers, draw_papers

__all__ = ["Paper", "count_papers", "draw_papers"]
