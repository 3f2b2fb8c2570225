"""The papers of the paint day, drawn as values and printed to PDF and SVG."""
