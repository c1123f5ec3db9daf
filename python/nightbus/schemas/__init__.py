"""JSON Schemas of what nightbus writes."""
